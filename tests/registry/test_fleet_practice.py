"""A shop's own intervals and season, set with its practice."""

from __future__ import annotations

from typing import Any

import pytest

from apps.registry.actions import set_practice
from apps.registry.actors import Actor
from apps.registry.errors import InvalidSetting
from apps.registry.practices import practice_of

pytestmark = pytest.mark.django_db


def test_intervals_and_season_are_the_shop_s_to_set(shop: Actor) -> None:
    settings = {
        "due_after_days_out": 12,
        "due_after_calendar_days": 90,
        "due_for_finding": "slight",
        "mend_severe_days": 2,
        "mend_moderate_days": 5,
        "mend_slight_days": 9,
        "season_first": "06-15",
        "season_last": "09-30",
    }
    set_practice(shop=shop.handle, settings=settings, by=shop)
    practice = practice_of(shop.handle)
    assert {name: getattr(practice, name) for name in settings} == settings


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("due_after_days_out", 0),
        ("due_after_days_out", "12"),
        ("due_after_calendar_days", 10_001),
        ("due_for_finding", "bad"),
        ("mend_severe_days", 0),
        ("mend_slight_days", 366),
        ("season_first", "02-29"),
        ("season_first", "1-12"),
        ("season_last", "13-01"),
        ("season_last", 415),
    ],
)
def test_a_setting_that_says_nothing_is_refused_by_name(shop: Actor, name: str, value: Any) -> None:
    with pytest.raises(InvalidSetting) as refused:
        set_practice(shop=shop.handle, settings={name: value}, by=shop)
    assert refused.value.pointer == f"/{name}"
    assert name in refused.value.sentence
