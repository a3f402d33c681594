"""How the tables are read: what a shop may see, in which order, with how many queries."""

from __future__ import annotations

import pytest
from django.apps import apps
from pytest_django import DjangoAssertNumQueries

from apps.registry.actions import issue_api_key, look_up_tag
from apps.registry.actors import Actor, Scope
from apps.registry.errors import UnknownRecord, UnknownTag
from apps.registry.histories import read_fold, read_folds
from apps.registry.models import Condition, Record, Tag
from apps.registry.visits import visits_of
from tests.registry.making import FIRST, TAG, a_draft, a_ski, write

pytestmark = pytest.mark.django_db


@pytest.fixture
def records(ski: str, shop: Actor, other_shop: Actor) -> dict[str, str]:
    """A record of each shop on the first shop's ski, and one on a ski of the other's."""
    (own,) = write(shop, a_draft("job"))
    (foreign,) = write(other_shop, a_draft("job"))
    elsewhere = a_ski(other_shop, tag="T-1")
    return {"own": own.record_id, "foreign": foreign.record_id, "elsewhere": elsewhere.record_id}


@pytest.fixture
def five_of_use(ski: str, shop: Actor) -> None:
    """A log of a description and five usage records."""
    write(shop, *[a_draft("usage") for _ in range(5)])


class TestVisibleTo:
    def seen(self, shop: Actor, records: dict[str, str]) -> set[str]:
        visible = Record.objects.visible_to(shop.handle)
        names = {record_id: name for name, record_id in records.items()}
        return {names[i] for i in visible.values_list("id", flat=True) if i in names}

    def test_ones_own_records_and_those_on_ones_own_skis(
        self, shop: Actor, records: dict[str, str]
    ) -> None:
        assert self.seen(shop, records) == {"own", "foreign"}

    def test_what_others_wrote_on_their_skis_is_not_there(
        self, other_shop: Actor, records: dict[str, str]
    ) -> None:
        assert self.seen(other_shop, records) == {"foreign", "elsewhere"}
        with pytest.raises(UnknownRecord):
            Record.objects.visible_to(other_shop.handle).get_id(records["own"])

    def test_until_the_tag_was_looked_up(
        self, shop: Actor, other_shop: Actor, records: dict[str, str]
    ) -> None:
        look_up_tag(shop=shop.handle, tag=TAG, by=other_shop)
        assert self.seen(other_shop, records) == {"own", "foreign", "elsewhere"}
        found = Record.objects.visible_to(other_shop.handle).get_id(records["own"])
        assert found.id == records["own"]


@pytest.mark.usefixtures("five_of_use")
class TestPages:
    def test_forward_to_a_bound_that_stays(self, shop: Actor) -> None:
        start, end = FIRST - 1, FIRST + 5
        first = Record.objects.page(after=start, up_to=end, size=3)
        write(shop, a_draft("usage"))
        second = Record.objects.page(after=start + 3, up_to=end, size=3)
        assert [r.log_index for r in first] == [FIRST, FIRST + 1, FIRST + 2]
        assert [r.log_index for r in second] == [FIRST + 3, FIRST + 4]

    def test_by_author_and_kind(self, shop: Actor, other_shop: Actor) -> None:
        write(other_shop, a_draft("job"))
        assert Record.objects.written_by(shop.handle).of_kind("job").count() == 0
        assert Record.objects.written_by(other_shop.handle).of_kind("job").count() == 1


def test_a_history_is_in_the_order_of_the_bench(ski: str, shop: Actor) -> None:
    days = ("2025-02-10", "2025-01-31T18:00:00Z", "2025-01-31")
    write(shop, *[a_draft("usage", performed_at=day) for day in days])
    rows = Record.objects.of_tags([ski]).of_kind("usage").in_history_order()
    assert [row.performed_at for row in rows] == sorted(days, key=lambda day: (day[:10], len(day)))


def test_on_one_day_a_history_is_in_the_order_of_the_log(ski: str, shop: Actor) -> None:
    write(shop, *[a_draft("usage", performed_at="2025-01-31") for _ in range(8)])
    rows = Record.objects.of_tags([ski]).of_kind("usage").in_history_order()
    places = [row.log_index for row in rows]
    assert places == sorted(places)
    assert [visit.entered for visit in visits_of(read_fold([ski]).effective)][-8:] == places


@pytest.mark.parametrize("length", [3, 60])
def test_a_history_is_one_query_however_long(
    ski: str, shop: Actor, length: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    write(shop, *[a_draft("job") for _ in range(length - 1)])
    with django_assert_num_queries(1):
        rows = list(Record.objects.of_tags([ski]).in_history_order().stored())
    assert len(rows) == length
    assert all(isinstance(row.document, bytes) for row in rows)
    with django_assert_num_queries(1):
        assert len(read_fold([ski]).records) == length


@pytest.mark.parametrize("length", [3, 60])
def test_an_append_takes_as_many_queries_however_long_the_history(
    ski: str, shop: Actor, length: int, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    write(shop, *[a_draft("job") for _ in range(length - 1)])
    with django_assert_max_num_queries(30):
        write(shop, a_draft("job"))


def test_several_skis_are_folded_by_one_query(
    ski: str, shop: Actor, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    other = f"{shop.handle}/FB-0043"
    a_ski(shop, tag="FB-0043")
    with django_assert_num_queries(1):
        folds = read_folds([ski, other])
    assert set(folds) == {ski, other}


def test_an_unknown_ski_has_no_records(db: None) -> None:
    assert read_fold(["nobody@node.example/X-1"]).records == ()


class TestFleet:
    def test_a_shop_has_the_skis_under_its_tags(self, shop: Actor, other_shop: Actor) -> None:
        a_ski(shop, tag="A-1")
        a_ski(shop, tag="A-2")
        a_ski(other_shop, tag="T-1")
        fleet = Condition.objects.fleet_of(shop.handle)
        assert [row.ski_id for row in fleet.page(after="", size=10)] == [
            f"{shop.handle}/A-1",
            f"{shop.handle}/A-2",
        ]
        (second,) = fleet.page(after=f"{shop.handle}/A-1", size=10)
        assert second.ski_id == f"{shop.handle}/A-2"
        assert set(Tag.objects.of_shop(shop.handle).values_list("tag", flat=True)) == {"A-1", "A-2"}


def test_a_tag_is_found_by_shop_and_tag(ski: str, shop: Actor) -> None:
    assert Tag.objects.find(shop.handle, TAG).key == ski
    with pytest.raises(UnknownTag, match="NOBODYS"):
        Tag.objects.find(shop.handle, "NOBODYS")


def test_rows_have_names_for_people(ski: str, shop: Actor) -> None:
    write(
        shop,
        *[
            a_draft(kind)
            for kind in ("job", "measurement", "bevel-setting", "usage", "status", "pair")
        ],
    )
    issue_api_key(shop=shop.handle, scopes=[Scope.READ], by=shop)
    for model in apps.get_app_config("registry").get_models():
        for row in model._default_manager.all():
            assert str(row) != f"{model.__name__} object ({row.pk})"
