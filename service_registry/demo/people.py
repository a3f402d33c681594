"""The people of the invented shops, with log-ins that are worth nothing outside of the demo."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from django.conf import settings

from apps.registry import people, sharing
from apps.registry.actors import OPERATOR, Actor
from apps.registry.errors import InvalidSetting
from service_registry.demo.loading import LoadedShop
from service_registry.demo.shops import BENCH, DEALER, HIRE, DemoShop
from service_registry.environment import TRIAL_NODE_HOST

SHARED_DAYS = 62
WORDS = (
    *("alder", "basin", "cairn", "drift", "ember", "flint", "gully", "heath"),
    *("inlet", "juniper", "kestrel", "larch", "marten", "notch", "osier", "plover"),
)
WORDS_EACH = 4


@dataclass(frozen=True, slots=True)
class DemoPerson:
    """Somebody who logs in on the demo's pages.

    Parameters
    ----------
    nickname, password : str
    role : str
        `owner`, `technician`, `reader` or `operator`.
    shop : str
        Label of the shop; "" for the operator.
    """

    nickname: str
    password: str
    role: str
    shop: str = ""


@dataclass(frozen=True, slots=True)
class _Place:
    """Who is to work where; the alias is one that the shop's records name."""

    nickname: str
    role: str
    shop: DemoShop
    alias: str = ""
    unit: str = "mm"


PLACES = (
    _Place("hire-owner", "owner", HIRE, "vh1"),
    _Place("hire-bench", "technician", HIRE, "vh2"),
    _Place("hire-counter", "reader", HIRE),
    _Place("bench-owner", "owner", BENCH, "bb1"),
    _Place("bench-hand", "technician", BENCH, "bb2", "um"),
    _Place("bench-desk", "reader", BENCH),
    _Place("dealer", "owner", DEALER, "ps1"),
)
NODE_KEEPER = "node-keeper"


def open_people(shops: Mapping[str, LoadedShop], seed: int) -> tuple[DemoPerson, ...]:
    """Let the people of the shops and the operator into the demo's node.

    Parameters
    ----------
    shops : mapping
        The loaded shops by code.
    seed : int
        Rules the passwords, so that the same demo has the same ones each time.

    Raises
    ------
    InvalidSetting
        On any node but the trial one: whoever knows the seed knows the passwords.
    """
    if settings.NODE_HOST != TRIAL_NODE_HOST:
        raise InvalidSetting("The demo's people are let into the trial node only.")
    opened = [_opened(place, shops[place.shop.code].actor, seed) for place in PLACES]
    keeper = DemoPerson(NODE_KEEPER, password_of(NODE_KEEPER, seed), "operator")
    people.add_operator(username=keeper.nickname, password=keeper.password, by=OPERATOR)
    return (*opened, keeper)


def _opened(place: _Place, shop: Actor, seed: int) -> DemoPerson:
    password = password_of(place.nickname, seed)
    people.add_member(
        shop=shop.handle,
        username=place.nickname,
        password=password,
        role=place.role,
        by=OPERATOR,
        alias=place.alias,
        unit=place.unit,
    )
    return DemoPerson(place.nickname, password, place.role, place.shop.label)


def password_of(nickname: str, seed: int) -> str:
    """Give a password of four words that follows from the seed."""
    digest = hashlib.sha256(f"{seed} {nickname}".encode()).digest()
    return "-".join(WORDS[byte % len(WORDS)] for byte in digest[:WORDS_EACH])


def told(people: Iterable[DemoPerson], address: str, shared: str) -> Iterator[str]:
    """Say where the pages are, who may log in, and what a buyer may see.

    Parameters
    ----------
    people : iterable of DemoPerson
    address : str
        Of the node, without a slash at the end.
    shared : str
        Token of the link that was made for a buyer.
    """
    yield f"The pages are on {address}/ for people with a log-in:"
    for one in people:
        what = f"{one.role} of {one.shop}" if one.shop else f"{one.role} of the node"
        yield f"  {one.nickname:<14}{one.password:<32}{what}"
    yield f"A buyer sees one ski without a log-in: {address}/s/{shared}"


def share_with_a_buyer(shops: Mapping[str, LoadedShop], tag: str) -> str:
    """Make a link to a ski of the hire, as for somebody who may buy it; gives its token."""
    hire = shops[HIRE.code].actor
    made = sharing.make_share_link(shop=hire.handle, tag=tag, days=SHARED_DAYS, by=hire)
    return made.token
