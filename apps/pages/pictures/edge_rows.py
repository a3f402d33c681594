"""What the drawing of an edge says, in words."""

from __future__ import annotations

from collections.abc import Iterator

from django.utils.translation import gettext as _

from apps.pages.numbers import Unit, between, degrees, length
from apps.pages.pictures.edge_shape import EdgeShape
from apps.pages.pictures.picture import Row
from apps.pages.pictures.section_input import SectionInput
from apps.pages.words import word
from apps.tuning.figures import Length
from apps.tuning.standing import BevelNow

TINY_PLACES = 3
"""A drop of half a degree is 0.017 mm."""


def edge_rows(
    section: SectionInput, shape: EdgeShape, *, slopes: int, unit: Unit
) -> tuple[Row, ...]:
    """Every figure of the drawing, and what is unknown."""
    return tuple(_rows(section, shape, slopes, unit))


def length_words(shown: Length, unit: Unit) -> str:
    """A length with its limits, and with the word for practice where practice went in."""
    parts = {
        "value": length(shown.value_mm, unit),
        "limits": between(shown.low_mm, shown.high_mm, unit),
    }
    if shown.basis == "readings":
        return _("%(value)s (%(limits)s)") % parts
    return _("%(value)s (%(limits)s, practice)") % parts


def _rows(section: SectionInput, shape: EdgeShape, slopes: int, unit: Unit) -> Iterator[Row]:
    base, side = section.bevels.base_bevel, section.bevels.side_bevel
    yield Row(_("Base bevel"), _bevel_words(base, section.base_bevel_deg))
    yield Row(_("Side bevel"), _bevel_words(side, section.side_bevel_deg))
    yield from _facet_rows(section, shape, unit)
    yield Row(_("Height of the steel"), _size_words(section.height, unit))
    yield Row(_("Width of the steel"), _size_words(section.width, unit))
    yield Row(_("Thickness of the base"), _size_words(section.base_thickness, unit))
    yield from _target_rows(section)
    if not section.has_no_bevel:
        yield Row(_("Bevels in the second view"), _steepness_words(slopes))


def _bevel_words(now: BevelNow, known_deg: float | None) -> str:
    standing = word("standing", now.standing)
    if known_deg is not None:
        return _("%(bevel)s, %(standing)s") % {"bevel": degrees(known_deg), "standing": standing}
    if now.stated is None:
        return standing
    parts = {"bevel": degrees(now.stated.bevel_deg), "standing": standing}
    return _("%(standing)s; last stated as %(bevel)s") % parts


def _facet_rows(section: SectionInput, shape: EdgeShape, unit: Unit) -> Iterator[Row]:
    facet = section.facet
    if facet is None:
        return
    yield Row(_("Facet left, hatched"), length_words(facet, unit))
    drop = length(shape.drop_mm, unit, TINY_PLACES)
    yield Row(_("Corner above the base plane"), drop)
    before = section.facet_before_mm
    if before is not None and before > facet.value_mm:
        lost = length(before - facet.value_mm, unit)
        yield Row(_("Facet lost to a grind"), lost)
        yield Row(
            _("Ground off under it, hatched the other way"),
            length(shape.ground_off(before), unit, TINY_PLACES),
        )


def _size_words(shown: Length | None, unit: Unit) -> str:
    return _("unknown, nobody measured it") if shown is None else length_words(shown, unit)


def _target_rows(section: SectionInput) -> Iterator[Row]:
    base, side = section.wanted_base_deg, section.wanted_side_deg
    drawn = section.has_another_target
    if base is not None:
        label = _("Base bevel wanted, dashed") if drawn else _("Base bevel wanted")
        yield Row(label, _wanted_words(base, section.base_bevel_deg))
    if side is not None:
        label = _("Side bevel wanted, dashed") if drawn else _("Side bevel wanted")
        yield Row(label, _wanted_words(side, section.side_bevel_deg))


def _wanted_words(wanted_deg: float, now_deg: float | None) -> str:
    if wanted_deg == now_deg:
        return _("%(bevel)s, as it is") % {"bevel": degrees(wanted_deg)}
    return degrees(wanted_deg)


def _steepness_words(slopes: int) -> str:
    if slopes == 1:
        return _("as steep as they are")
    return _("%(times)d times as steep") % {"times": slopes}
