"""What an address may ask of the fleet, read and written again."""

from __future__ import annotations

from datetime import date

import pytest
from django.http import QueryDict
from django.utils import translation

from apps.pages.fleet.due_form import DueForm
from apps.pages.fleet.filters import FilterForm, PagedForm
from apps.pages.fleet.fleet_form import SORTS, FleetForm
from apps.pages.fleet.heads import heads_of
from apps.pages.fleet.outlook_form import OutlookForm
from apps.registry.fleet import Bound
from apps.tuning.practice import Practice
from apps.tuning.wear_policy import Policy


def read(form: type[FilterForm], query: str = "") -> FilterForm:
    """A form that took an address."""
    taken = form(QueryDict(query))
    assert taken.is_valid(), taken.errors
    return taken


def fleet(query: str = "") -> FleetForm:
    """The form of the list."""
    form = read(FleetForm, query)
    assert isinstance(form, FleetForm)
    return form


def test_an_empty_address_asks_for_all_by_tag() -> None:
    form = fleet()
    assert (form.selection.words, form.selection.bounds, form.selection.tag_prefix) == ({}, (), "")
    assert (form.sort_key, form.order.column, form.place) == ("tag", "ski", "")
    assert not form.is_narrowed


def test_each_filter_says_which_skis() -> None:
    form = fleet(
        "tag=vh-1&status=unknown&base_bevel=stands&side_bevel=uncertain&findings=moderate"
        "&services=4&steel_below=0,95&base_below=900+µm&sort=-due_on"
    )
    assert form.selection.words == {
        "status": ("",),
        "base_bevel_standing": ("stands",),
        "side_bevel_standing": ("uncertain",),
        "worst_severity": ("moderate", "severe"),
    }
    assert form.selection.bounds == (
        Bound("edge_height_least_um", "lt", 950),
        Bound("base_thickness_um", "lt", 900),
        Bound("services_left_low", "lte", 4),
    )
    assert form.selection.tag_prefix == "VH-1"
    assert (form.order.column, form.order.descending) == ("due_on", True)
    assert form.is_narrowed


@pytest.mark.parametrize(
    ("query", "field"),
    [
        ("tag=%25", "tag"),
        ("status=lost", "status"),
        ("services=many", "services"),
        ("services=-1", "services"),
        ("steel_below=thin", "steel_below"),
        ("steel_below=6", "steel_below"),
        ("base_below=-1", "base_below"),
        ("sort=colour", "sort"),
        ("colour=red", "__all__"),
        ("status=sold&status=missing", "__all__"),
        (f"after={'x' * 501}", "after"),
    ],
)
def test_what_cannot_be_asked_is_said_at_its_field(query: str, field: str) -> None:
    form = FleetForm(QueryDict(query))
    assert not form.is_valid()
    assert list(form.errors) == [field]


def test_words_are_told_in_the_language_of_the_request() -> None:
    with translation.override("de"):
        german = [str(label) for _, label in FleetForm(QueryDict("")).fields["status"].choices]  # type: ignore[attr-defined]
    english = [str(label) for _, label in FleetForm(QueryDict("")).fields["status"].choices]  # type: ignore[attr-defined]
    assert len(german) == len(english)
    assert "in service" in english


def test_an_address_is_written_with_some_of_it_changed() -> None:
    form = fleet("status=sold&after=x&sort=-tag")
    assert form.query() == "?status=sold&sort=-tag"
    assert form.query(sort="", after="y") == "?after=y&status=sold"
    assert fleet().query() == "?"


def test_heads_sort_and_turn_round() -> None:
    by_label = {str(head.label): head for head in heads_of(fleet("status=sold"))}
    assert by_label["Tag"].query == "?status=sold&sort=-tag"
    assert by_label["Tag"].sorted == "ascending"
    assert (by_label["Steel"].query, by_label["Steel"].sorted) == (
        "?status=sold&sort=edge_height_least_mm",
        "",
    )
    assert by_label["Status"].query == ""
    turned = {str(head.label): head for head in heads_of(fleet("sort=-due_on"))}
    assert (turned["Due"].query, turned["Due"].sorted) == ("?sort=due_on", "descending")


def test_every_sort_of_a_head_can_be_asked_for() -> None:
    for head in heads_of(fleet()):
        if head.query:
            sort = QueryDict(head.query[1:])["sort"]
            assert {sort.removeprefix("-"), f"-{sort.removeprefix('-')}"} <= SORTS.keys()


def test_due_counts_from_a_day() -> None:
    form = read(DueForm, "on=2026-12-01&within=10&status=unknown&tag=vh")
    assert isinstance(form, DueForm)
    asked = form.asked(Practice())
    assert (asked.on, asked.until) == (date(2026, 12, 1), date(2026, 12, 11))
    assert form.selection.words == {"status": ("",)}
    assert form.selection.tag_prefix == "VH"


@pytest.mark.parametrize("query", ["on=soon", "on=01.12.2026", "within=367", "within=-1"])
def test_due_refuses_other_days(query: str) -> None:
    assert not DueForm(QueryDict(query)).is_valid()


def test_the_outlook_takes_per_cent_of_now() -> None:
    form = read(OutlookForm, "removal=80&services=50&months=12&days_a_season=60,5")
    assert isinstance(form, OutlookForm)
    asked = form.asked(date(2026, 12, 1))
    assert asked.policy == Policy(0.8, 0.5)
    assert (asked.months, asked.quantity) == (12, "edge_height")
    assert (asked.forecast.days_a_season, asked.forecast.days_a_service) == (60.5, None)


def test_the_outlook_takes_nothing_for_as_now() -> None:
    form = read(OutlookForm, "removal=&services=&months=&quantity=")
    assert isinstance(form, OutlookForm)
    asked = form.asked(date(2026, 12, 1))
    assert (asked.policy, asked.months) == (Policy(), 36)
    assert asked.quantity == "edge_height"


@pytest.mark.parametrize(
    "query",
    [
        "removal=501",
        "services=x",
        "months=1",
        "months=121",
        "days_a_season=0",
        "days_a_season=401",
        "days_a_season=nan",
        "days_a_service=no",
        "quantity=wax",
        "after=x",
    ],
)
def test_the_outlook_refuses_the_rest(query: str) -> None:
    assert not OutlookForm(QueryDict(query)).is_valid()


def test_a_paged_form_has_no_field_more_than_its_place() -> None:
    assert list(PagedForm.base_fields) == ["after"]
