"""The shop's practice: what no formula gives, read only."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.utils.formats import date_format
from django.utils.translation import ngettext
from django.views.decorators.http import require_safe

from apps.pages import numbers
from apps.pages.numbers import Unit
from apps.pages.shop.practice_labels import GROUPS, Group
from apps.pages.visitor import PageRequest, reader
from apps.registry.models import Shop
from apps.registry.practices import practice_from
from apps.tuning.practice import Practice

# A season's ends are days of every year, so any will do; none is a leap day.
SOME_YEAR = 2001


@dataclass(frozen=True, slots=True)
class Line:
    """One setting as it is shown."""

    label: str
    value: str
    is_own: bool


@dataclass(frozen=True, slots=True)
class Part:
    """Settings that belong together."""

    title: str
    lines: tuple[Line, ...]


@require_safe
@reader
def practice(request: PageRequest) -> HttpResponse:
    """Show what the shop goes by."""
    shop = Shop._default_manager.get(handle=request.visitor.shop)
    values, own = practice_from(shop.practice), frozenset(json.loads(shop.practice))
    parts = [_part(group, values, own, request.visitor.unit) for group in GROUPS]
    context: dict[str, Any] = {"parts": parts, "shop": shop, "own_removals": "removals" in own}
    return render(request, "pages/shop/practice.html", context)


def _part(group: Group, values: Practice, own: frozenset[str], unit: Unit) -> Part:
    return Part(str(group.title), tuple(_lines(group, values, own, unit)))


def _lines(group: Group, values: Practice, own: frozenset[str], unit: Unit) -> Iterator[Line]:
    for name, label in group.settings:
        yield Line(str(label), _written(name, getattr(values, name), unit), name in own)


def _written(name: str, value: Any, unit: Unit) -> str:
    """Write a value with its unit, which the name of the setting ends in."""
    if name == "pair_length_mm":
        return f"{numbers.plain(value, 1)}{numbers.NARROW_SPACE}mm"
    if name.endswith("_mm"):
        return numbers.length(value, unit, 3)
    if name.endswith("_deg"):
        return numbers.degrees(value)
    if name.endswith("_m"):
        return f"{numbers.plain(value, 1)}{numbers.NARROW_SPACE}m"
    return _of_the_calendar(name, value)


def _of_the_calendar(name: str, value: Any) -> str:
    if name.endswith("_share"):
        return numbers.plain(value, 2)
    if name.startswith("season_"):
        month, _sep, day = str(value).partition("-")
        return date_format(date(SOME_YEAR, int(month), int(day)), "MONTH_DAY_FORMAT")
    return ngettext("%(count)s day", "%(count)s days", value) % {"count": value}
