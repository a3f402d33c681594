"""The history of a ski on paper: what is folded on the screen is not left out there."""

from __future__ import annotations

from datetime import UTC, datetime

from playwright.sync_api import expect

from service_registry.demo.seasons import seasons_until
from tests.browser.printing import printed
from tests.browser.visits import Visits


def test_paper_has_the_years_that_are_folded_on_the_screen(visits: Visits) -> None:
    first_year = seasons_until(datetime.now(UTC).date())[0].first_year
    first_record = f"5 Nov {first_year}: description"
    page = visits.page()
    page.goto(visits.node.fill("/s/{share}"))
    expect(page.get_by_role("heading", name=first_record)).to_have_count(0)
    assert first_record in " ".join(sheet.text for sheet in printed(page))
