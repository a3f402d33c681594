"""Tags for labels: each issued once, and what is said of one that was mistyped."""

from __future__ import annotations

import pytest
from pytest_django import DjangoAssertNumQueries

from apps.records.check_character import check_character, check_character_fits
from apps.records.forms import Mode
from apps.records.names import check_tag
from apps.registry import label_ranges
from apps.registry.actors import OPERATOR, Actor, Scope, shop_actor
from apps.registry.errors import InvalidSetting, NotAllowed, UnknownShop, WrongState
from apps.registry.label_ranges import (
    Standing,
    check_typed,
    ends_of,
    issue_range,
    issued_among,
    tags_of,
)
from apps.registry.models import LabelRange
from tests.registry.making import NOW, a_shop, a_ski
from tests.registry.threads import at_once

pytestmark = pytest.mark.django_db


def issued(shop: Actor, prefix: str = "FB-", count: int = 20, **more: int) -> LabelRange:
    """A range, issued at the tests' time."""
    return issue_range(prefix=prefix, count=count, by=shop, now=NOW, **more)


class TestIssuing:
    def test_ranges_follow_each_other(self, shop: Actor, other_shop: Actor) -> None:
        first, second = issued(shop), issued(shop, "fb-", 1000)
        assert (first.first, first.last, first.digits) == (1, 20, 4)
        assert (second.first, second.last, second.prefix) == (21, 1020, "FB-")
        assert str(first) == "FB-0001 to 0020"
        assert (issued(shop, "PM-").first, issued(other_shop).first) == (1, 1)
        assert [one.first for one in LabelRange.objects.of_shop(shop.handle)] == [1, 21, 1]

    def test_each_tag_has_its_check_character(self, shop: Actor) -> None:
        tags = tags_of(issued(shop, "KELD.", 3, digits=6))
        assert [tag[:-1] for tag in tags] == ["KELD.000001", "KELD.000002", "KELD.000003"]
        for tag in tags:
            assert check_character_fits(tag)
            assert check_tag(tag, Mode()) == tag

    def test_the_longest_tags_are_tags(self, shop: Actor) -> None:
        tags = tags_of(issued(shop, "F" * 31, 1, digits=8))
        assert [len(tag) for tag in tags] == [40]
        with pytest.raises(InvalidSetting, match="at most 31 characters") as refused:
            issued(shop, "G" * 32, 1, digits=8)
        assert refused.value.pointer == "/prefix"

    @pytest.mark.parametrize("prefix", ["", "-FB", "FB1", "F B-", "FÄ-", "fb-\n1"])
    def test_no_such_prefix(self, shop: Actor, prefix: str) -> None:
        with pytest.raises(InvalidSetting, match="prefix") as refused:
            issued(shop, prefix)
        assert refused.value.pointer == "/prefix"

    @pytest.mark.parametrize("count", [-1, 0, 1001])
    def test_no_such_count(self, shop: Actor, count: int) -> None:
        with pytest.raises(InvalidSetting, match="1 to 1000") as refused:
            issued(shop, count=count)
        assert refused.value.pointer == "/count"

    @pytest.mark.parametrize("digits", [0, 2, 9])
    def test_no_such_digits(self, shop: Actor, digits: int) -> None:
        with pytest.raises(InvalidSetting, match="3 to 8 digits") as refused:
            issued(shop, digits=digits)
        assert refused.value.pointer == "/digits"
        assert not LabelRange.objects.exists()

    def test_a_prefix_keeps_its_digits(self, shop: Actor) -> None:
        issued(shop, digits=3)
        assert issued(shop).digits == issued(shop, digits=3).digits == 3
        with pytest.raises(WrongState, match="have 3 digits"):
            issued(shop, digits=4)

    def test_when_the_numbers_are_used_up(self, shop: Actor) -> None:
        issued(shop, count=990, digits=3)
        with pytest.raises(WrongState, match="not so many numbers left"):
            issued(shop, count=10)
        assert issued(shop, count=9).last == 999

    def test_what_a_ski_has_already_is_passed_over(self, shop: Actor) -> None:
        tags = tags_of(issued(shop, count=20))
        LabelRange.objects.all().delete()
        a_ski(shop, tag=tags[4])
        a_ski(shop, tag=tags[6])
        again = issued(shop, count=4)
        assert (again.first, again.last) == (1, 4)
        after = issued(shop, count=4)
        assert (after.first, after.last) == (8, 11)

    def test_a_ski_of_another_shop_hinders_none(self, shop: Actor, other_shop: Actor) -> None:
        a_ski(other_shop, tag="FB-0001" + check_character("FB-0001"))
        assert issued(shop).first == 1

    def test_who_may_not(self, shop: Actor) -> None:
        for by in (shop_actor(shop.handle, Scope.READ), OPERATOR):
            with pytest.raises(NotAllowed):
                issue_range(prefix="FB-", count=1, by=by)
        with pytest.raises(UnknownShop):
            issue_range(prefix="FB-", count=1, by=shop_actor("nobody@localhost.invalid"))


class TestTyped:
    def test_a_label_that_was_issued(self, shop: Actor, other_shop: Actor) -> None:
        tag = tags_of(issued(shop))[6]
        found = check_typed(f" {tag.lower()} ", shop.handle)
        assert (found.tag, found.standing, found.is_registered) == (tag, Standing.FITS, False)
        assert found.suggestions == ()
        a_ski(shop, tag=tag)
        assert check_typed(tag, shop.handle).is_registered
        assert check_typed(tag, other_shop.handle).standing is Standing.NOT_OF_A_RANGE

    def test_a_slip_is_told_with_the_ski_that_was_meant(self, shop: Actor) -> None:
        tags = tags_of(issued(shop, count=20))
        a_ski(shop, tag=tags[11])
        tag = tags[11]
        slips = {
            "another digit": f"{tag[:5]}7{tag[6:]}",
            "a letter for a digit": f"{tag[:3]}O{tag[4:]}",
            "another check character": f"{tag[:-1]}{'A' if tag[-1] != 'A' else 'B'}",
            "a swap": f"{tag[:5]}{tag[6]}{tag[5]}{tag[7]}",
        }
        for slip, typed in slips.items():
            found = check_typed(typed, shop.handle)
            assert (found.standing, found.suggestions) == (Standing.MISTYPED, (tag,)), slip
            assert not found.is_registered

    def test_a_slip_in_the_prefix(self, shop: Actor) -> None:
        tag = tags_of(issued(shop, count=1))[0]
        a_ski(shop, tag=tag)
        for typed in (f"EB{tag[2:]}", f"BF{tag[2:]}"):
            found = check_typed(typed, shop.handle)
            assert (found.standing, found.suggestions) == (Standing.NOT_OF_A_RANGE, (tag,))

    def test_three_at_most_and_in_order(self, shop: Actor) -> None:
        for last in "EBDCA":
            a_ski(shop, tag=f"K-1{last}")
        found = check_typed("K-1Z", shop.handle)
        assert found.suggestions == ("K-1A", "K-1B", "K-1C")
        assert found.standing is Standing.NOT_OF_A_RANGE

    def test_no_suggestion_of_another_shop(self, shop: Actor, other_shop: Actor) -> None:
        a_ski(other_shop, tag="K-1A")
        assert check_typed("K-1Z", shop.handle).suggestions == ()

    def test_a_number_that_was_never_issued(self, shop: Actor) -> None:
        issued(shop, count=5)
        body = "FB-0006"
        found = check_typed(body + check_character(body), shop.handle)
        assert found.standing is Standing.MISTYPED

    def test_a_tag_by_hand_is_what_it_is(self, shop: Actor) -> None:
        issued(shop, count=5)
        a_ski(shop, tag="FB-9999X")
        found = check_typed("FB-9999X", shop.handle)
        assert (found.standing, found.is_registered) == (Standing.MISTYPED, True)
        assert found.suggestions == ()

    @pytest.mark.parametrize(
        "typed", ["", "   ", "FB 0001", "F" * 41, "-FB", "FÄ", "FB-000\u0661A"]
    )
    def test_what_can_be_no_tag(self, shop: Actor, typed: str) -> None:
        issued(shop)
        found = check_typed(typed, shop.handle)
        assert (found.standing, found.suggestions) == (Standing.NOT_OF_A_RANGE, ())

    def test_the_longest_tag_has_the_most_neighbours(self, shop: Actor) -> None:
        a_ski(shop, tag="F" * 39 + "E")
        assert check_typed("F" * 40, shop.handle).suggestions == ("F" * 39 + "E",)

    def test_in_three_queries(
        self, shop: Actor, django_assert_num_queries: DjangoAssertNumQueries
    ) -> None:
        for prefix in ("FB-", "PM-", "KELD."):
            issued(shop, prefix)
        (tag, *_) = tags_of(issued(shop))
        with django_assert_num_queries(3):
            check_typed("FB-0001Z", shop.handle)
        with django_assert_num_queries(2):
            check_typed(tag, shop.handle)


@pytest.mark.django_db(transaction=True)
def test_of_many_who_issue_at_once_none_gets_the_same() -> None:
    shop = a_shop("crag")
    outcomes = at_once(lambda _: issued(shop, count=7), threads=8)
    ranges = [one for one in outcomes if isinstance(one, LabelRange)]
    assert sorted(one.first for one in ranges) == [1 + 7 * number for number in range(8)], outcomes
    assert len({tag for one in ranges for tag in label_ranges.tags_of(one)}) == 56


class TestIssuedAmong:
    def test_only_labels_of_the_shop_as_they_were_issued(
        self, shop: Actor, other_shop: Actor
    ) -> None:
        first, second = tags_of(issued(shop, count=3)), tags_of(issued(shop, "PM.", 2))
        beyond = tags_of(LabelRange(prefix="FB-", digits=4, first=4, last=4))
        strange = tags_of(issued(other_shop, "TE-", 1))
        slip = first[0][:-1] + ("A" if first[0][-1] != "A" else "B")
        asked = [*first, second[1], *beyond, *strange, slip, "FB-0001", "OLD-7"]
        assert issued_among(asked, shop.handle) == {*first, second[1]}

    def test_many_tags_take_one_query(
        self, shop: Actor, django_assert_num_queries: DjangoAssertNumQueries
    ) -> None:
        tags = tags_of(issued(shop, count=300))
        with django_assert_num_queries(1):
            assert issued_among(tags, shop.handle) == set(tags)


def test_the_ends_of_a_range(shop: Actor) -> None:
    labels = issued(shop, count=7)
    tags = tags_of(labels)
    assert ends_of(labels) == (tags[0], tags[-1])
