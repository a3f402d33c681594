"""Numbers as people read and write them: by locale, in mm or micrometres, with a decimal comma."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Literal

from django.utils.formats import number_format
from django.utils.translation import gettext as _

Unit = Literal["mm", "um"]

NARROW_SPACE = "\u202f"
_UM_PER_MM = 1000
_GROUP = 3
_MICROMETRE = Decimal("0.001")
_NUMBER = re.compile(r"([+-]?[0-9]+(?:[.,][0-9]+)?|[+-]?[.,][0-9]+)\s*([^\s0-9]*)")
_MM, _UM = ("", "mm"), ("um", "µm", "μm", "mic", "micron", "microns")
_DEGREES = ("", "°", "deg", "grad", "º")


class NotANumber(ValueError):
    """Text that holds no such number; the message says how to write one, in the page's language."""


def plain(value: float | Decimal, places: int) -> str:
    """Write a number with fixed places by the locale."""
    step = Decimal(1).scaleb(-places)
    rounded = Decimal(str(value)).quantize(step, rounding=ROUND_HALF_EVEN)
    # No minus before a zero.
    return number_format(rounded + 0 if rounded else abs(rounded), places)


def length(value_mm: float | Decimal, unit: Unit = "mm", places: int = 2) -> str:
    """Write a small length with its unit: 1.74 mm, or 1740 µm.

    Parameters
    ----------
    value_mm : float or Decimal
        Length [mm].
    unit : {"mm", "um"}
        In which it is shown.
    places : int
        Decimal places in mm; micrometres are whole.
    """
    return f"{bare_length(value_mm, unit, places)}{NARROW_SPACE}{unit_name(unit)}"


def bare_length(value_mm: float | Decimal, unit: Unit = "mm", places: int = 2) -> str:
    """Write a small length without its unit, for tables whose head names it."""
    # What is computed is kept and sent to the micrometre. Rounded from anything finer, one figure
    # would read 1.73 on a page that computes it and 1.74 on one that reads it.
    known_mm = Decimal(str(value_mm)).quantize(_MICROMETRE, rounding=ROUND_HALF_EVEN)
    if unit == "um":
        return plain(known_mm * _UM_PER_MM, 0)
    return plain(known_mm, places)


def unit_name(unit: Unit) -> str:
    """Give the unit as it is written."""
    return "µm" if unit == "um" else "mm"


def plus_minus(
    value_mm: float | Decimal,
    spread_mm: float | Decimal,
    unit: Unit = "mm",
    places: int = 2,
) -> str:
    """Write a length with its expanded uncertainty (k = 2): 1.74 ± 0.03 mm."""
    first, second = (bare_length(one, unit, places) for one in (value_mm, spread_mm))
    return f"{first} ± {second}{NARROW_SPACE}{unit_name(unit)}"


def between(
    low_mm: float | Decimal, high_mm: float | Decimal, unit: Unit = "mm", places: int = 2
) -> str:
    """Write the limits of a length: 1.70 to 1.78 mm."""
    low, high = (bare_length(one, unit, places) for one in (low_mm, high_mm))
    span = _("%(low)s to %(high)s") % {"low": low, "high": high}
    return f"{span}{NARROW_SPACE}{unit_name(unit)}"


def degrees(value_deg: float | Decimal, places: int = 2) -> str:
    """Write an angle: 0.50°; places that are zero at the end are left out down to one."""
    text = plain(value_deg, places)
    return f"{text[:-1] if places > 1 and text.endswith('0') else text}°"


def read_length_mm(text: str, unit: Unit = "mm") -> Decimal:
    """Read a small length; a number alone is in the visitor's unit.

    Parameters
    ----------
    text : str
        Such as `0.5`, `0,5`, `0.5 mm`, `500 µm`.
    unit : {"mm", "um"}
        Unit of a number without one.

    Returns
    -------
    Decimal
        Length [mm], as exact as it was written.

    Raises
    ------
    NotANumber
    """
    number, suffix = _parts(text)
    if suffix == "":
        suffix = unit
    # Nobody reads to a nanometre: 1.740 µm is 1740 with its thousands set apart.
    is_grouped = number.as_tuple().exponent == -_GROUP
    if suffix in _UM and not is_grouped:
        return number / _UM_PER_MM
    if suffix in _MM:
        return number
    raise NotANumber(_("Write a length such as 0.5 mm, 0,5 or 500 µm."))


def read_degrees(text: str) -> Decimal:
    """Read an angle such as `0.5`, `0,5` or `0.5°` [deg].

    Raises
    ------
    NotANumber
    """
    number, suffix = _parts(text)
    if suffix not in _DEGREES:
        raise NotANumber(_("Write an angle in degrees, such as 0.5 or 0,5."))
    return number


def _parts(text: str) -> tuple[Decimal, str]:
    # Thousands separators are refused: 1,740 would be 1.74 to one reader and 1740 to another.
    found = _NUMBER.fullmatch(text.strip().casefold())
    if found is None:
        raise NotANumber(_("Write one number, with a point or a comma for decimals."))
    return Decimal(found[1].replace(",", ".")), found[2]
