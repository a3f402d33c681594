"""The condition in short, ski beside ski."""

from __future__ import annotations

import pytest
from django.test import Client
from pytest_django import DjangoAssertNumQueries

from apps.registry.actors import Actor
from apps.registry.models import LookUp, Member
from tests.pages.bench.pair import CODE, LEFT, OTHER, past_job, reading
from tests.pages.people import text_of
from tests.registry.making import a_draft, a_shop, a_ski, write

PAGE = f"/bench/{CODE}/{LEFT}"
# Session, user, member; of each ski its tag, links, records, practice, rates; then the pair,
# and for a job the shop's signing key.
QUERIES = 19


def test_both_skis_stand_beside_each_other(technician: Client, pair: tuple[str, str]) -> None:
    found = technician.get(PAGE)
    rows = {row.label: row.cells for row in found.context["rows"]}
    left, other = rows["Base bevel, left edge"]
    assert (left.figure, left.note) == (other.figure, other.note) == ("1.0°", "stands")
    assert rows["Edge height, left edge"][0].figure == "1.80\u202fmm"
    assert [one["tag"] for one in found.context["open"]] == [LEFT, OTHER]
    assert "gouge, moderate: base" in text_of(found)


def test_micrometres_for_who_wants_them(technician: Client, pair: tuple[str, str]) -> None:
    Member._default_manager.update(unit="um")
    rows = {row.label: row.cells for row in technician.get(PAGE).context["rows"]}
    assert rows["Edge height, left edge"][0].figure == "1800\u202fµm"


def test_what_was_never_measured_is_not_shown_as_a_number(technician: Client, shop: Actor) -> None:
    a_ski(shop, tag="VH-7")
    found = technician.get(f"/bench/{CODE}/VH-7")
    rows = {row.label: row.cells for row in found.context["rows"]}
    assert rows["Base thickness"][0].figure == ""
    assert rows["Base thickness"][0].note == "never measured"
    assert rows["Base bevel, left edge"][0].note == "never stated"
    assert rows["Since the last job"][0].note == "no job on record"
    assert found.context["other"] is None


def test_a_bevel_that_is_gone_is_no_figure(
    technician: Client, pair: tuple[str, str], shop: Actor
) -> None:
    ground = {"steps": [{"operation": "stone_grind", "edge_height_removed_mm": "0.200"}]}
    write(shop, a_draft("job", shop=CODE, tag=LEFT, performed_at="2025-02-10", body=ground))
    rows = {row.label: row.cells for row in technician.get(PAGE).context["rows"]}
    assert rows["Base bevel, left edge"][0].figure == ""
    assert rows["Base bevel, left edge"][0].note == "ground away; last stated 1.0°"


def test_steel_that_grew_is_told_as_a_doubt(
    technician: Client, pair: tuple[str, str], shop: Actor
) -> None:
    grown = reading("edge_height_mm", "2.500", edge="left")
    write(shop, a_draft("measurement", shop=CODE, tag=LEFT, performed_at="2025-02-10", body=grown))
    assert f"Doubts about {LEFT}" in text_of(technician.get(PAGE))


def test_a_finding_without_a_place(technician: Client, shop: Actor) -> None:
    a_ski(shop, tag="VH-7")
    rust = {"what": "rust", "severity": "slight", "state": "open"}
    write(shop, past_job("VH-7", findings=[rust]))
    page = technician.get(f"/bench/{CODE}/VH-7")
    assert page.context["open"][0]["findings"] == ["rust, slight"]


@pytest.mark.parametrize("page", ["", "/plan", "/job"])
def test_a_ski_that_is_held_back_says_so(
    technician: Client, pair: tuple[str, str], shop: Actor, page: str
) -> None:
    body = {"status": "quarantined", "reason": "accident"}
    write(shop, a_draft("status", shop=CODE, tag=OTHER, body=body))
    found = technician.get(PAGE + page)
    assert [one["tag"] for one in found.context["held_back"]] == [OTHER]
    assert f"{OTHER}: Held back after an accident, since 31 Jan 2025. Ask before" in text_of(found)


def test_the_usual_status_holds_nothing_back(
    technician: Client, pair: tuple[str, str], shop: Actor
) -> None:
    write(shop, a_draft("status", shop=CODE, tag=LEFT, body={"status": "on_bench"}))
    found = technician.get(PAGE)
    rows = {row.label: row.cells for row in found.context["rows"]}
    assert found.context["held_back"] == []
    assert [cell.note for cell in rows["Status"]] == ["on the bench", "never stated"]


def test_a_partner_that_is_not_here_is_named(technician: Client, shop: Actor) -> None:
    a_ski(shop, tag="VH-7")
    other = {"other_ski": {"shop": "kelderby-bench@lake.example", "tag": "K-1"}}
    write(shop, a_draft("pair", shop=CODE, tag="VH-7", body=other))
    said = text_of(technician.get(f"/bench/{CODE}/VH-7"))
    assert "Its pair is kelderby-bench@lake.example/K-1, which is not registered here." in said


def test_a_look_at_another_shops_ski_is_noted(technician: Client, shop: Actor) -> None:
    a_ski(a_shop("brindle-bench"), tag="BB-1")
    assert technician.get("/bench/brindle-bench/BB-1").status_code == 200
    assert LookUp.objects.get().shop_id == shop.handle


@pytest.mark.parametrize("page", ["", "/plan", "/job"])
@pytest.mark.parametrize("tag", ["VH-404", "VH%20404"])
def test_a_tag_on_no_ski(technician: Client, shop: Actor, page: str, tag: str) -> None:
    assert technician.get(f"/bench/{CODE}/{tag}{page}").status_code == 404


def test_a_reader_is_offered_no_job(reader: Client, pair: tuple[str, str]) -> None:
    assert "Write a job" not in text_of(reader.get(PAGE))


def test_nothing_is_changed_by_looking(technician: Client, pair: tuple[str, str]) -> None:
    assert technician.post(PAGE).status_code == 405
    assert technician.post(f"{PAGE}/plan").status_code == 405


@pytest.mark.parametrize("page", ["", "/plan?base=0.5&wax=on", "/job?base=0.5"])
def test_a_fixed_number_of_queries(
    technician: Client,
    pair: tuple[str, str],
    shop: Actor,
    django_assert_max_num_queries: DjangoAssertNumQueries,
    page: str,
) -> None:
    with django_assert_max_num_queries(QUERIES) as few:
        technician.get(PAGE + page)
    write(shop, *(past_job(tag, findings=[]) for tag in (LEFT, OTHER) for _visit in range(10)))
    with django_assert_max_num_queries(QUERIES) as many:
        technician.get(PAGE + page)
    assert len(few) == len(many)


def test_a_ski_without_a_pair_leads_to_where_one_is_recorded(
    technician: Client, reader: Client, pair: tuple[str, str], shop: Actor
) -> None:
    a_ski(shop, tag="VH-7")
    leads = f'href="/t/{CODE}/VH-7/pair"'
    assert leads in technician.get(f"/bench/{CODE}/VH-7").content.decode()
    assert leads not in reader.get(f"/bench/{CODE}/VH-7").content.decode()
    assert "Record its pair" not in text_of(technician.get(PAGE))
