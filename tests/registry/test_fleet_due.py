"""Which skis are due, why and how urgently: by the kept columns and one query."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from pytest_django import DjangoAssertNumQueries

from apps.registry.actions import set_practice
from apps.registry.actors import Actor
from apps.registry.fleet import Selection
from apps.registry.fleet_due import Asked, DuePlace, due_rows, due_skis
from apps.registry.fleet_reasons import KEPT, Kept
from apps.registry.models import Condition
from apps.tuning.practice import Practice
from apps.tuning.season import season_calendar
from service_registry.benchmark.synthetic import fill
from tests.registry.making import a_draft, write
from tests.registry.test_fleet import explained

pytestmark = pytest.mark.django_db
ON = date(2025, 1, 20)
OPEN = {"findings": [{"what": "core_shot", "severity": "severe", "state": "open"}]}


def asked(within_days: int = 0, on: date = ON, **practice: Any) -> Asked:
    return Asked(on, within_days, Practice(**practice))


def due(handle: str, what: Asked, **more: Any) -> list[Kept]:
    selection = more.pop("selection", Selection())
    return [Kept(*row) for row in due_rows(handle, what, KEPT, selection=selection, **more)]


def reckoned(row: Condition, what: Asked) -> dict[str, int]:
    """The same by hand, from one row: thousandths of each interval, rounded down."""
    practice, until = what.practice, what.until
    calendar = season_calendar(practice.season_first, practice.season_last)
    gone = max(0, calendar.through(what.on) - (row.use_season_day or 0))
    ahead = (row.days_out_per_1000 or 0) * gone
    since = row.last_job_day or row.first_day
    days = {"slight": 30, "moderate": 7, "severe": 1}
    found = {"use_urgency": 0, "date_urgency": 0, "finding_urgency": 0}
    if row.due_by_use and row.due_by_use <= until:
        found["use_urgency"] = (1000 * (row.days_out_since_job_high or 0) + ahead) // 20
    if row.due_by_date and row.due_by_date <= until:
        found["date_urgency"] = 1000 * max(0, (what.on - since).days) // 365
    if row.due_by_finding and row.due_by_finding <= until and row.worst_finding_day:
        open_for = max(0, (what.on - row.worst_finding_day).days + 1)
        found["finding_urgency"] = 1000 + 1000 * open_for // days[row.worst_severity]
    return found


@pytest.mark.parametrize("what", [asked(), asked(60), asked(0, date(2024, 1, 3))])
def test_the_query_reckons_as_a_person_would(shop: Actor, what: Asked) -> None:
    fill(shop.handle, 200)
    rows = due(shop.handle, what)
    by_hand = {
        kept.ski_id: reckoned(kept, what)
        for kept in Condition.objects.all()
        if kept.due_on and kept.due_on <= what.until
    }
    assert {row.ski for row in rows} == set(by_hand)
    assert 10 < len(rows) < 200
    for row in rows:
        parts = by_hand[row.ski]
        assert {name: getattr(row, name) for name in parts} == parts
        assert row.urgency == max(parts.values())


def test_the_most_urgent_come_first_and_pages_hold_each_once(shop: Actor) -> None:
    fill(shop.handle, 120)
    whole = due(shop.handle, asked(30))
    assert whole == sorted(whole, key=lambda row: (-row.urgency, row.ski))
    found: list[Kept] = []
    place = None
    while page := due(shop.handle, asked(30), after=place, size=9):
        found += page
        place = DuePlace(page[-1].urgency, page[-1].ski)
    assert found == whole


def test_who_is_due_by_a_reason_has_used_its_interval_up(shop: Actor) -> None:
    fill(shop.handle, 200)
    rows = due(shop.handle, asked())
    assert all(row.urgency >= 1000 for row in rows)


@pytest.mark.parametrize("count", [30, 3000])
def test_it_is_one_query_whatever_the_fleet(
    shop: Actor, count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    fill(shop.handle, count)
    with django_assert_num_queries(1):
        assert due(shop.handle, asked(), size=10)


def test_it_is_found_by_an_index(shop: Actor) -> None:
    fill(shop.handle, 60)
    query = due_skis(shop.handle, asked(), Selection()).order_by("-urgency", "ski")
    assert "condition_by_due" in explained(query.values_list("urgency", "ski"))


def test_a_selection_is_heeded(shop: Actor) -> None:
    fill(shop.handle, 120)
    rows = due(shop.handle, asked(60), selection=Selection(words={"status": ("on_bench",)}))
    assert {row.status for row in rows} == {"on_bench"}


def condition(ski: str) -> Condition:
    return Condition.objects.get(ski=ski)


class TestFromRecords:
    def test_a_ski_without_a_job_counts_from_its_first_record(self, ski: str) -> None:
        row = condition(ski)
        assert (row.due_by_date, row.due_on) == (date(2026, 1, 31), date(2026, 1, 31))
        assert (row.due_by_use, row.due_by_finding) == (None, None)

    def test_a_job_sets_the_date_anew(self, ski: str, shop: Actor) -> None:
        (job,) = write(shop, a_draft("job", performed_at="2025-02-10"))
        row = condition(ski)
        assert (row.due_by_date, row.last_job) == (date(2026, 2, 10), job.record_id)

    def test_an_open_finding_is_due_at_once(self, ski: str, shop: Actor) -> None:
        (job,) = write(shop, a_draft("job", body=OPEN, performed_at="2025-02-10"))
        row = condition(ski)
        assert (row.due_on, row.worst_finding) == (date(2025, 2, 10), job.record_id)
        (found,) = due(shop.handle, asked(on=date(2025, 2, 10)))
        assert (found.finding_urgency, found.due_by_finding) == (2000, date(2025, 2, 10))
        (later,) = due(shop.handle, asked(on=date(2025, 2, 14)))
        assert later.urgency == 6000

    def test_days_out_on_record_are_due_on_the_day_of_the_report(
        self, ski: str, shop: Actor
    ) -> None:
        write(shop, a_draft("job"))
        for day, days in (("2025-02-07", 12), ("2025-02-14", 7), ("2025-02-20", 3)):
            write(shop, a_draft("usage", performed_at=day, body={"days": days}))
        row = condition(ski)
        assert (row.days_out_since_job_low, row.days_out_since_job_high) == (10, 22)
        assert (row.due_by_use, row.due_on) == (date(2025, 2, 20), date(2025, 2, 20))
        assert (row.due_by_use_earliest, row.due_by_use_latest) == (None, None)

    def test_use_is_carried_on_by_the_days_in_season(self, ski: str, shop: Actor) -> None:
        # 8 days out in 16 days in season: half of the days; 12 more take 24 days.
        for day, days in (("2025-01-15", 4), ("2025-01-31", 8)):
            write(shop, a_draft("usage", performed_at=day, body={"days": days}))
        row = condition(ski)
        assert (row.days_out_per_1000, row.days_out_since_job_high) == (500, 12)
        assert row.due_by_use == date(2025, 1, 31) + timedelta(days=16)
        (found,) = due(shop.handle, asked(on=date(2025, 2, 16)))
        assert found.use_urgency == 1000
        assert due(shop.handle, asked(on=date(2025, 2, 15))) == []

    def test_a_ski_out_of_the_fleet_is_due_for_nothing(self, ski: str, shop: Actor) -> None:
        write(shop, a_draft("job", body=OPEN))
        body = {"status": "retired", "reason": "worn_out"}
        write(shop, a_draft("status", body=body, performed_at="2025-02-20"))
        assert condition(ski).due_on is None
        write(shop, a_draft("status", body={"status": "in_service"}, performed_at="2025-02-21"))
        assert condition(ski).due_on == date(2025, 1, 31)

    def test_another_interval_moves_the_day(self, ski: str, shop: Actor) -> None:
        write(shop, a_draft("job", body=OPEN))
        intervals = {"due_after_calendar_days": 30, "due_for_finding": "severe"}
        set_practice(shop=shop.handle, settings=intervals, by=shop)
        assert condition(ski).due_by_date == date(2025, 3, 2)
        assert condition(ski).due_by_finding == date(2025, 1, 31)
        slight = {"findings": [{"what": "scratch", "severity": "slight", "state": "open"}]}
        write(shop, a_draft("retraction", refers_to=[condition(ski).worst_finding]))
        write(shop, a_draft("job", body=slight))
        assert condition(ski).due_by_finding is None
        set_practice(shop=shop.handle, settings={"due_for_finding": "slight"}, by=shop)
        assert condition(ski).due_by_finding == date(2025, 1, 31)
