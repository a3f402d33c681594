"""The figures of a sentence as a visitor reads them: words, days and numbers by locale."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apps.pages.numbers import NARROW_SPACE, Unit, degrees, length, plain
from apps.pages.words import WORDS, word
from apps.registry.naming import short_shop
from apps.tuning.told import Figure

AMOUNT_PLACES = 3
OF_ANY_UNIT = frozenset({"difference", "expanded", "tolerance"})
"""Figures of a pair, in the unit of what is compared."""
Shown = dict[str, str | int]


def shown(figures: Mapping[str, Figure], unit: Unit = "mm") -> Shown:
    """Give the values for the placeholders of a sentence.

    Parameters
    ----------
    figures : mapping of str to Figure
        By names that carry their units.
    unit : {"mm", "um"}
        In which small lengths are shown.

    Returns
    -------
    dict of str to str or int
        `count` stays a number, since it decides between one and many; `where` names the place
        that the figures speak of.
    """
    made: Shown = {name: _shown(name, value, figures, unit) for name, value in figures.items()}
    made["where"] = place_words(figures)
    return made


def day_words(day: date) -> str:
    """Write a day by the locale."""
    return date_format(day, "DATE_FORMAT")


def position_words(position_mm: int) -> str:
    """Name a place along the ski by its distance from the tail."""
    return _("%(position)s mm from the tail") % {"position": plain(position_mm, 0)}


def place_words(figures: Mapping[str, Figure]) -> str:
    """Name what is spoken of, and where: a list of words, as a heading has them."""
    words = [
        word(kind, str(value))
        for kind in ("material", "pair_quantity", "face", "edge")
        if (value := figures.get(kind))
    ]
    position, station = figures.get("position_mm"), figures.get("station")
    if isinstance(position, int):
        words.append(position_words(position))
    elif station:
        words.append(word("station", str(station)))
    return ", ".join(words)


def days_words(count: int) -> str:
    """Count days."""
    return ngettext("%(count)s day", "%(count)s days", count) % {"count": plain(count, 0)}


def _shown(name: str, value: Figure, figures: Mapping[str, Figure], unit: Unit) -> str | int:
    if isinstance(value, date):
        return day_words(value)
    if isinstance(value, str):
        return _text(name, value)
    if value is None or name == "count":
        return "" if value is None else int(value)
    ending = name.rpartition("_")[2]
    if name in OF_ANY_UNIT:
        ending = str(figures["unit"])
    return _BY_UNIT[ending](value, unit) if ending in _BY_UNIT else plain(value, 0)


def _text(name: str, value: str) -> str:
    if name in WORDS:
        return word(name, value)
    if name == "shops":
        return ", ".join(short_shop(handle) for handle in value.split(", "))
    return value


_BY_UNIT: Mapping[str, Callable[[float, Unit], str]] = {
    "mm": lambda value, unit: length(value, unit, AMOUNT_PLACES),
    "deg": lambda value, _unit: degrees(value),
    "m": lambda value, _unit: f"{plain(value, 1)}{NARROW_SPACE}m",
    "d": lambda value, _unit: days_words(round(value)),
}
