"""Filters that write numbers and days by the visitor's locale."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal

from django import template
from django.utils.formats import date_format

from apps.pages import numbers
from apps.pages.ski.moments import moment_text

register = template.Library()

FINE_PLACES = 3


# Not `length`, which would take the place of Django's own in every template that loads this.
@register.filter("length_in")
def length(value_mm: float | Decimal, unit: numbers.Unit = "mm") -> str:
    """Write a length [mm] in the visitor's unit, with it."""
    return numbers.length(value_mm, unit)


@register.filter
def bare_length(value_mm: float | Decimal, unit: numbers.Unit = "mm") -> str:
    """Write a length [mm] in the visitor's unit, without it."""
    return numbers.bare_length(value_mm, unit)


@register.filter
def fine_length(value_mm: float | Decimal, unit: numbers.Unit = "mm") -> str:
    """Write a length [mm] to the micrometre, in the visitor's unit and with it."""
    return numbers.length(value_mm, unit, FINE_PLACES)


@register.filter
def unit_name(unit: numbers.Unit) -> str:
    """Name a unit."""
    return numbers.unit_name(unit)


@register.filter
def degrees(value_deg: float | Decimal) -> str:
    """Write an angle [deg]."""
    return numbers.degrees(value_deg)


@register.filter
def day(value: date) -> str:
    """Write a day by the locale."""
    return date_format(value, "DATE_FORMAT")


@register.filter
def moment(value: datetime) -> str:
    """Write a day and a time by the locale and the node's clock."""
    return moment_text(value)


@register.filter
def month(value: date) -> str:
    """Write the month of a day by the locale."""
    return date_format(value, "YEAR_MONTH_FORMAT")
