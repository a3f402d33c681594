"""Brings the scenario onto an empty node: shops, keys, and every record through the one door."""

from __future__ import annotations

import hashlib
import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, time

from django.conf import settings

from apps.records.canonical import canonical_bytes, record_id
from apps.records.reading import compose, read_draft
from apps.records.signing import PrivateKey
from apps.registry import actions
from apps.registry.actors import OPERATOR, SHOP_SCOPES, Actor, shop_actor
from apps.registry.submissions import Submission
from service_registry.demo.chronicle import Entry
from service_registry.demo.own_shop import own_key
from service_registry.demo.scenario import Scenario
from service_registry.demo.seasons import Season
from service_registry.demo.shops import BENCH, DEALER, HIRE, SHOPS, DemoShop

# The workshop's records speak of what the dealer found, so they come after the dealer's.
HANDED_IN = (HIRE, DEALER, BENCH)


@dataclass(frozen=True, slots=True)
class LoadedShop:
    """A shop of the scenario on the node."""

    actor: Actor
    key: PrivateKey
    token: str


def load(scenario: Scenario, seed: int) -> dict[str, LoadedShop]:
    """Write the scenario to the node's database, which must be empty.

    Parameters
    ----------
    scenario : Scenario
    seed : int
        Rules keys and salts, so that the same scenario has the same record ids each time.

    Returns
    -------
    dict
        The shops by code, each with an API key that works.
    """
    shops = {shop.code: _opened(shop, seed) for shop in SHOPS}
    ids: dict[str, str] = {}
    for season, author, entries in batches(scenario.entries()):
        shop = shops[author.code]
        submissions = [_signed(entry, shop, seed, ids) for entry in entries]
        actions.append_records(submissions=submissions, by=shop.actor, now=handed_in_at(season))
    return shops


def handed_in_at(season: Season) -> datetime:
    """When a shop hands in its book of a winter: at its end."""
    return datetime.combine(season.day(5, 19), time(12), UTC)


def _opened(shop: DemoShop, seed: int) -> LoadedShop:
    # A key that anyone can make again signs for nobody: the node's host is a reserved name.
    key = own_key(seed, shop.code)
    handle = actions.add_shop(code=shop.code, label=shop.label, by=OPERATOR, key=key).handle
    if shop.practice:
        actions.set_practice(shop=handle, settings=shop.practice, by=OPERATOR)
    issued = actions.issue_api_key(shop=handle, scopes=sorted(SHOP_SCOPES), by=OPERATOR)
    return LoadedShop(shop_actor(handle), key, issued.token)


def batches(entries: Iterable[Entry]) -> Iterator[tuple[Season, DemoShop, Sequence[Entry]]]:
    """Part entries into what one shop hands in at the end of a winter, in the log's order."""

    def part(entry: Entry) -> tuple[int, int]:
        return Season.of(entry.day).first_year, HANDED_IN.index(entry.by)

    # A pair names the tag of its other ski, which must be registered by then.
    in_order = sorted(entries, key=lambda entry: (*part(entry), entry.kind == "pair"))
    for (year, author), group in itertools.groupby(in_order, key=part):
        yield Season(year), HANDED_IN[author], list(group)


def _signed(entry: Entry, shop: LoadedShop, seed: int, ids: dict[str, str]) -> Submission:
    data = composed(entry, shop, seed, ids)
    ids[entry.label] = record_id(data)
    return Submission(data=data, signature=shop.key.sign_text(data))


def composed(entry: Entry, shop: LoadedShop, seed: int, ids: Mapping[str, str]) -> bytes:
    """Make the canonical bytes of an entry, the same way as the API does, with a known salt."""
    draft = read_draft(entry.kind, entry.draft(ids), node_host=settings.NODE_HOST)
    salt = hashlib.sha256(f"{seed}/{entry.label}".encode()).hexdigest()[:32]
    document = compose(draft, author=shop.actor.handle, key=shop.key.key_id, salt=salt)
    return canonical_bytes(document)
