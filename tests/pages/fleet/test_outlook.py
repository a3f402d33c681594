"""The outlook: skis below the least by month, drawn and told, as now and otherwise."""

from __future__ import annotations

import re

import pytest
from django.test import Client

from apps.pages.fleet.outlook import outlook_of
from apps.registry.actors import Actor
from apps.registry.fleet_outlook import OutlookAsked, as_now, by_month, reckon
from apps.tuning.wear_policy import Policy
from service_registry.benchmark.synthetic import LAST_DAY, fill
from tests.pages.people import text_of
from tests.registry.making import a_ski


def test_the_page_draws_and_lists_the_same_months(shop: Actor, reader: Client) -> None:
    fill(shop.handle, 60)
    response = reader.get("/fleet/outlook?months=12")
    page = response.content.decode()
    assert page.count("<svg") == 1
    assert len(re.findall(r'<tr><th scope="row">', page)) == 12
    assert "practice" in page
    assert "As asked" not in page


def test_another_policy_stands_beside_it(shop: Actor, reader: Client) -> None:
    fill(shop.handle, 60)
    text = text_of(reader.get("/fleet/outlook?removal=70"))
    assert "That spares" in text
    assert "As asked" in text


def test_each_month_has_its_own_number(shop: Actor) -> None:
    fill(shop.handle, 60)
    asked = OutlookAsked(LAST_DAY, "edge_height", 24, Policy(0.7))
    reckoned = reckon(shop.handle, asked)
    shown, then = outlook_of(shop.handle, asked), by_month(reckoned.result, reckoned)
    now = by_month(as_now(reckoned), reckoned)
    assert len(shown.months) == len(now.seasons) == 24
    for place, month in enumerate(shown.months):
        assert month.then is not None
        assert month.spared is not None
        assert float(month.now.expected) == pytest.approx(now.below.expected[place], abs=0.051)
        assert (month.then.low, month.then.high) == (then.below.low[place], then.below.high[place])
        assert float(month.spared.expected) <= float(month.now.expected) + 0.1


# Nobody knows the use of two skis' seasons: three are needed.
def test_what_is_not_known_is_left_out_and_says_what_to_do(shop: Actor, reader: Client) -> None:
    a_ski(shop)
    text = text_of(reader.get("/fleet/outlook"))
    assert "Nothing can be reckoned yet." in text
    assert "1 ski is left out" in text
    assert "Report the days out at each service" in text
    assert "3 are needed, so practice stands in." in text


def test_a_forecast_of_the_shop_stands_in(shop: Actor, reader: Client) -> None:
    fill(shop.handle, 30)
    query = "days_a_season=40&days_a_service=10"
    text = text_of(reader.get(f"/fleet/outlook?{query}"))
    assert "The use to come is as you expect it." in text
    assert "Least edge height: 0.80 mm, practice." in text
    assert "Services in a season, on the mean: 4.0." in text


def test_mistakes_are_told_at_their_fields(reader: Client) -> None:
    response = reader.get("/fleet/outlook?days_a_season=0&months=500")
    assert response.status_code == 400
    page = response.content.decode()
    assert 'id="id_days_a_season_error"' in page
    assert 'id="id_months_error"' in page


def test_numbers_follow_the_language(shop: Actor, reader: Client) -> None:
    fill(shop.handle, 60)
    page = reader.get("/fleet/outlook", headers={"accept-language": "de"}).content.decode()
    assert re.search(r"<b>\d+,\d</b>", page)
