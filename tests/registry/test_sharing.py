"""Links to one ski: who makes them, whom they let in, and when they end."""

from __future__ import annotations

from datetime import timedelta

import pytest

from apps.registry import keys, sharing
from apps.registry.actors import OPERATOR, Actor, Scope, shop_actor
from apps.registry.errors import (
    InvalidSetting,
    NotAllowed,
    NotKnown,
    UnknownShareLink,
    UnknownTag,
)
from apps.registry.models import LookUp, ShareLink
from apps.registry.rebuild import rebuild
from apps.registry.sharing import NewShareLink
from tests.registry.links import say
from tests.registry.making import NOW, TAG, a_shop, a_ski
from tests.registry.threads import THREADS, at_once

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("ski")]

SECOND = timedelta(seconds=1)


def a_link(shop: Actor, days: int = 62) -> NewShareLink:
    """A link to the tests' ski, made at the tests' time."""
    return sharing.make_share_link(shop=shop.handle, tag=TAG, days=days, by=shop, now=NOW)


def secret_of(link: NewShareLink) -> str:
    """What stands after the name of a link; it may hold a low line itself."""
    return link.token.removeprefix(f"skishare_{link.prefix}_")


def test_a_link_opens_one_ski(shop: Actor) -> None:
    made = a_link(shop)
    assert made.token.startswith(f"skishare_{made.prefix}_")
    assert (made.shop, made.tag, made.created_at) == (shop.handle, TAG, NOW)
    opened = sharing.open_share_link(made.token, now=NOW + SECOND)
    assert (opened.shop_id, opened.tag, str(opened)) == (shop.handle, TAG, made.prefix)
    assert (opened.opened_count, opened.last_opened_at) == (1, NOW + SECOND)


def test_of_the_secret_only_a_digest_is_kept(shop: Actor) -> None:
    made = a_link(shop)
    secret = secret_of(made)
    (row,) = ShareLink.objects.values()
    assert row["digest"] == keys.digest_of(secret)
    assert not [value for value in row.values() if secret in str(value)]


def test_openings_are_counted_and_looks_are_not(shop: Actor) -> None:
    made = a_link(shop)
    for number in range(3):
        sharing.open_share_link(made.token, now=NOW + number * SECOND)
    looked = sharing.read_share_link(made.token, now=NOW + 5 * SECOND)
    assert (looked.opened_count, looked.last_opened_at) == (3, NOW + 2 * SECOND)


@pytest.mark.parametrize("days", [1, 62])
def test_it_ends_by_itself(shop: Actor, days: int) -> None:
    made = a_link(shop, days)
    ends = NOW + timedelta(days=days)
    assert made.expires_at == ends
    sharing.open_share_link(made.token, now=ends - SECOND)
    for call in (sharing.open_share_link, sharing.read_share_link):
        with pytest.raises(NotKnown):
            call(made.token, now=ends)


@pytest.mark.parametrize("days", [-1, 0, 63])
def test_no_other_length(shop: Actor, days: int) -> None:
    with pytest.raises(InvalidSetting, match="1 to 62 days") as refused:
        a_link(shop, days)
    assert refused.value.pointer == "/valid_days"
    assert not ShareLink.objects.exists()


def test_it_is_ended_at_once_and_twice_is_well(shop: Actor) -> None:
    made, other = a_link(shop), a_link(shop)
    ended = sharing.revoke_share_link(prefix=made.prefix, by=shop, now=NOW + SECOND)
    again = sharing.revoke_share_link(prefix=made.prefix, by=shop, now=NOW + 9 * SECOND)
    assert ended.revoked_at == again.revoked_at == NOW + SECOND
    with pytest.raises(NotKnown):
        sharing.open_share_link(made.token, now=NOW + SECOND)
    assert sharing.open_share_link(other.token, now=NOW + SECOND).opened_count == 1


def test_a_clock_that_was_set_back_hinders_no_end(shop: Actor) -> None:
    made = a_link(shop)
    ended = sharing.revoke_share_link(prefix=made.prefix, by=shop, now=NOW - SECOND)
    assert ended.revoked_at == NOW


def test_why_a_token_opens_nothing_is_not_told(shop: Actor) -> None:
    expired, revoked, other = a_link(shop, 1), a_link(shop), a_link(shop)
    sharing.revoke_share_link(prefix=revoked.prefix, by=shop, now=NOW)
    secret = secret_of(other)
    api_key = keys.new_secret().token
    tokens = (
        "",
        "skishare",
        expired.token,
        revoked.token,
        other.token + "A",
        other.token + "\n",
        f"skishare_aaaaaaaa_{secret}",
        f"skishare_{revoked.prefix}_{secret}",
        f"skireg_{other.prefix}_{secret}",
        api_key,
    )
    sentences = set()
    for token in tokens:
        with pytest.raises(NotKnown) as refused:
            sharing.open_share_link(token, now=NOW + timedelta(days=2))
        sentences.add((refused.value.sentence, refused.value.pointer))
    assert sentences == {(sharing.UNKNOWN, "")}
    assert ShareLink.objects.filter(opened_count=0).count() == 3


def test_a_link_is_no_api_key(shop: Actor) -> None:
    with pytest.raises(NotKnown):
        keys.authenticate(a_link(shop).token, now=NOW)


def test_it_ends_between_the_look_and_the_count(
    shop: Actor, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = a_link(shop)
    plain = sharing.read_share_link

    def ended_meanwhile(token: str, *, now: object) -> ShareLink:
        found = plain(token, now=NOW)
        sharing.revoke_share_link(prefix=made.prefix, by=shop, now=NOW)
        return found

    monkeypatch.setattr(sharing, "read_share_link", ended_meanwhile)
    with pytest.raises(NotKnown):
        sharing.open_share_link(made.token, now=NOW)
    assert ShareLink.objects.get().opened_count == 0


def test_who_may_not(shop: Actor, other_shop: Actor) -> None:
    made = a_link(shop)
    reader = shop_actor(shop.handle, Scope.READ)
    only_writes = shop_actor(shop.handle, Scope.WRITE)
    for by in (reader, only_writes, other_shop, OPERATOR):
        with pytest.raises(NotAllowed):
            sharing.make_share_link(shop=shop.handle, tag=TAG, by=by)
    for by in (reader, OPERATOR):
        with pytest.raises(NotAllowed):
            sharing.revoke_share_link(prefix=made.prefix, by=by)
    for prefix, by in ((made.prefix, other_shop), ("aaaaaaaa", shop)):
        with pytest.raises(UnknownShareLink):
            sharing.revoke_share_link(prefix=prefix, by=by)
    assert ShareLink.objects.live(NOW).count() == 1


def test_the_look_at_joined_tags_is_noted_by_who_shares(shop: Actor, other_shop: Actor) -> None:
    a_link(shop)
    assert not LookUp.objects.exists()
    a_ski(other_shop, tag="TE-1")
    say(shop, "same-ski", f"fellbench/{TAG}", "tarnedge/TE-1")
    say(other_shop, "same-ski", "tarnedge/TE-1", f"fellbench/{TAG}")
    a_link(shop)
    (noted,) = LookUp.objects.all()
    assert (noted.shop_id, noted.tag_key) == (shop.handle, f"{other_shop.handle}/TE-1")


def test_only_to_a_ski_that_is_here(shop: Actor) -> None:
    with pytest.raises(UnknownTag, match="FB-0043"):
        sharing.make_share_link(shop=shop.handle, tag="FB-0043", by=shop)
    assert not ShareLink.objects.exists()


def test_the_latest_first_and_a_page_goes_on(shop: Actor, other_shop: Actor) -> None:
    a_ski(other_shop)
    a_link(other_shop)
    made = [
        sharing.make_share_link(shop=shop.handle, tag=TAG, by=shop, now=NOW + number * SECOND)
        for number in (0, 2, 1, 1)
    ]
    listed = list(ShareLink.objects.of_shop(shop.handle))
    tied = sorted((made[2].prefix, made[3].prefix), reverse=True)
    assert [one.prefix for one in listed] == [made[1].prefix, *tied, made[0].prefix]
    for place, one in enumerate(listed):
        assert list(ShareLink.objects.of_shop(shop.handle).before(one)) == listed[place + 1 :]


def test_a_rebuild_leaves_links_alone(shop: Actor) -> None:
    made = a_link(shop)
    rebuild(by=OPERATOR)
    assert sharing.open_share_link(made.token, now=NOW).tag == TAG


@pytest.mark.django_db(transaction=True)
def test_all_who_open_at_once_are_counted() -> None:
    shop = a_shop("crag")
    a_ski(shop)
    made = a_link(shop)
    outcomes = at_once(lambda _: sharing.open_share_link(made.token, now=NOW))
    assert not [one for one in outcomes if isinstance(one, Exception)], outcomes
    assert ShareLink.objects.get(prefix=made.prefix).opened_count == THREADS
