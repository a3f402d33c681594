"""Links join tags on one ski, and one more record undoes it."""

from __future__ import annotations

import pytest

from apps.records.canonical import record_id
from apps.registry.actors import OPERATOR, Actor
from apps.registry.erasing import erase_record
from apps.registry.errors import NotAllowed, RegistryError, TagExists, UnknownTag
from apps.registry.fsck import fsck
from apps.registry.models import Condition, Likeness, Link, Ski, Tag, Wear
from apps.registry.rebuild import rebuild
from tests.registry.dumps import index_dump
from tests.registry.foreign import introduction, shop_of
from tests.registry.links import joined, link, say, take_back
from tests.registry.making import a_draft, a_shop, a_ski, handle, pulled, write

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def three_tags(shop: Actor, other_shop: Actor) -> None:
    """Two tags of one shop, and one of another."""
    for by, tag in ((shop, "A-1"), (shop, "A-2"), (other_shop, "B-1")):
        a_ski(by, tag=tag)


@pytest.fixture(autouse=True)
def index_follows() -> object:
    """After every test the index is what the records say."""
    yield
    before = index_dump()
    assert fsck().problems == ()
    rebuild(by=OPERATOR)
    assert index_dump() == before


APART = {frozenset({"fellbench/A-1"}), frozenset({"fellbench/A-2"}), frozenset({"tarnedge/B-1"})}


class TestJoining:
    def test_one_shop_joins_its_own_tags(self, shop: Actor) -> None:
        say(shop, "same-ski", "fellbench/A-1", "fellbench/A-2")
        assert frozenset({"fellbench/A-1", "fellbench/A-2"}) in joined()

    def test_two_shops_must_agree(self, shop: Actor, other_shop: Actor) -> None:
        say(shop, "same-ski", "fellbench/A-1", "tarnedge/B-1")
        assert joined() == APART
        say(other_shop, "same-ski", "tarnedge/B-1", "fellbench/A-1")
        assert frozenset({"fellbench/A-1", "tarnedge/B-1"}) in joined()

    def test_either_tag_may_be_the_subject(self, shop: Actor, other_shop: Actor) -> None:
        for by in (shop, other_shop):
            say(by, "same-ski", "fellbench/A-1", "tarnedge/B-1")
        assert frozenset({"fellbench/A-1", "tarnedge/B-1"}) in joined()

    def test_one_that_is_taken_back_joins_no_more(self, shop: Actor, other_shop: Actor) -> None:
        say(shop, "same-ski", "fellbench/A-1", "tarnedge/B-1")
        theirs = say(other_shop, "same-ski", "tarnedge/B-1", "fellbench/A-1")
        take_back(other_shop, theirs, "tarnedge/B-1")
        assert joined() == APART

    def test_a_doubt_sets_all_of_them_apart(self, shop: Actor, other_shop: Actor) -> None:
        say(shop, "same-ski", "fellbench/A-1", "fellbench/A-2")
        for by in (shop, other_shop):
            say(by, "same-ski", "fellbench/A-2", "tarnedge/B-1")
        assert len(joined()) == 1
        doubt = say(other_shop, "distinct-ski", "fellbench/A-1", "tarnedge/B-1")
        assert joined() == APART
        assert set(Ski.objects.values_list("apart", flat=True)) == {"contested"}
        take_back(other_shop, doubt, "fellbench/A-1")
        assert len(joined()) == 1
        assert set(Ski.objects.values_list("apart", "tag_count")) == {("", 3)}

    def test_more_than_eight_are_shown_apart(self, shop: Actor) -> None:
        for number in range(3, 9):
            a_ski(shop, tag=f"A-{number}")
            last = say(shop, "same-ski", "fellbench/A-1", f"fellbench/A-{number}")
        say(shop, "same-ski", "fellbench/A-1", "fellbench/A-2")
        assert max(map(len, joined())) == 8
        a_ski(shop, tag="A-9")
        ninth = say(shop, "same-ski", "fellbench/A-2", "fellbench/A-9")
        assert max(map(len, joined())) == 1
        assert Ski.objects.filter(apart="too-many").count() == 9
        take_back(shop, ninth, "fellbench/A-2")
        assert max(map(len, joined())) == 8
        take_back(shop, last, "fellbench/A-1")
        assert max(map(len, joined())) == 7

    def test_a_tag_that_is_unknown_yet_may_be_between(self, shop: Actor) -> None:
        """Both shops speak of it already; when it is registered, it stands with the others."""
        stranger = ("fjall@fjall.example", "F-1")
        write(shop, link("same-ski", ("fellbench", "A-1"), stranger))
        assert joined() == APART
        assert Link.objects.filter(here="fjall@fjall.example/F-1").count() == 1


class TestErased:
    def test_a_link_without_its_bytes_joins_nothing(self, shop: Actor) -> None:
        said = say(shop, "same-ski", "fellbench/A-1", "fellbench/A-2")
        erase_record(record_id=said, reason="author_asked", by=OPERATOR)
        assert joined() == APART

    def test_a_link_stands_again_when_what_took_it_back_is_erased(self, shop: Actor) -> None:
        said = say(shop, "same-ski", "fellbench/A-1", "fellbench/A-2")
        back = take_back(shop, said, "fellbench/A-1")
        assert joined() == APART
        erase_record(record_id=back, reason="author_asked", by=OPERATOR)
        assert frozenset({"fellbench/A-1", "fellbench/A-2"}) in joined()


class TestFromPeers:
    EAST = shop_of("east.example")

    def test_a_link_may_come_before_its_tags(self, shop: Actor) -> None:
        """Its own tag is not registered yet, so it waits; then it counts."""
        pulled(*introduction("east.example", self.EAST), peer="east.example")
        mine = ("bench@east.example", "E-1")
        write(shop, link("same-ski", ("fellbench", "A-1"), mine))
        other = {"shop": handle("fellbench"), "tag": "A-1"}
        body = {"other_ski": other, "evidence": ["markings"]}
        pulled(self.EAST.signed("same-ski", body=body), peer="east.example")
        assert joined() == APART
        pulled(self.EAST.signed("description"), peer="east.example")
        assert frozenset({"fellbench/A-1", "bench/E-1"}) in joined()

    def test_a_retraction_may_come_before_its_link(self, shop: Actor) -> None:
        pulled(*introduction("east.example", self.EAST), peer="east.example")
        for tag in ("E-1", "E-2"):
            pulled(self.EAST.signed("description", tag=tag), peer="east.example")
        body = {"other_ski": {"shop": self.EAST.handle, "tag": "E-2"}, "evidence": ["markings"]}
        stated = self.EAST.signed("same-ski", body=body)
        back = self.EAST.signed("retraction", refers_to=[record_id(stated.data)])
        pulled(back, peer="east.example")
        pulled(stated, peer="east.example")
        assert joined() == APART | {frozenset({"bench/E-1"}), frozenset({"bench/E-2"})}

    def test_a_link_by_a_shop_of_neither_tag_is_refused(self, shop: Actor) -> None:
        pulled(*introduction("east.example", self.EAST), peer="east.example")
        tags = [{"shop": handle("fellbench"), "tag": tag} for tag in ("A-1", "A-2")]
        body = {"other_ski": tags[1], "evidence": ["markings"]}
        foreign = self.EAST.signed("same-ski", shop=tags[0]["shop"], tag="A-1", body=body)
        with pytest.raises(NotAllowed):
            pulled(foreign, peer="east.example")


class TestFolded:
    def test_each_shop_keeps_the_ski_in_its_fleet(self, shop: Actor, other_shop: Actor) -> None:
        write(other_shop, a_draft("usage", shop="tarnedge", tag="B-1", body={"days": 3}))
        write(shop, a_draft("usage", tag="A-1", body={"days": 4}))
        for by in (shop, other_shop):
            say(by, "same-ski", "fellbench/A-1", "tarnedge/B-1")
        rows = Condition.objects.filter(days_in_use=7).values_list("shop", "ski")
        assert set(rows) == {
            (handle("fellbench"), f"{handle('fellbench')}/A-1"),
            (handle("tarnedge"), f"{handle('tarnedge')}/B-1"),
        }
        assert Likeness.objects.count() == 2, "One row a ski, however many shops have it."

    def test_a_shop_has_a_ski_of_two_labels_once(self, shop: Actor) -> None:
        say(shop, "same-ski", "fellbench/A-1", "fellbench/A-2")
        assert Condition.objects.fleet_of(shop.handle).count() == 1
        assert Wear.objects.filter(shop=shop.handle, quantity="edge_height").count() == 1
        assert Tag.objects.get(tag="A-2").ski_id.endswith("/A-1")

    def test_a_further_description_moves_nothing(self, shop: Actor) -> None:
        say(shop, "same-ski", "fellbench/A-1", "fellbench/A-2")
        write(shop, a_draft("description", tag="A-2"))
        assert Ski.objects.count() == 2


class TestRefused:
    def refused(self, by: Actor, one: str, other: str) -> RegistryError:
        with pytest.raises(RegistryError) as caught:
            say(by, "same-ski", one, other)
        return caught.value

    def test_a_shop_of_neither_tag(self, other_shop: Actor) -> None:
        third = a_shop("third")
        error = self.refused(third, "fellbench/A-1", "tarnedge/B-1")
        assert isinstance(error, NotAllowed)
        assert error.pointer == "/ski/shop"

    def test_a_tag_that_is_not_here(self, shop: Actor) -> None:
        error = self.refused(shop, "fellbench/A-1", "tarnedge/NOPE")
        assert isinstance(error, UnknownTag)
        assert error.pointer == "/body/other_ski"


def test_a_tag_is_never_used_again(shop: Actor) -> None:
    """Neither after the ski got another one, nor after its description was taken back."""
    say(shop, "same-ski", "fellbench/A-1", "fellbench/A-2")
    described = Tag.objects.get(tag="A-1").registered_by
    write(shop, a_draft("retraction", tag="A-1", refers_to=[described]))
    for tag in ("A-1", "A-2"):
        with pytest.raises(TagExists):
            a_ski(shop, tag=tag)
