"""The condition in short: what stands and what is left, ski beside ski."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from django.utils.formats import date_format
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apps.pages.numbers import Unit, degrees, length
from apps.pages.words import word
from apps.registry.sight import Sight
from apps.tuning.history import EDGES, Edge, MaterialQuantity
from apps.tuning.material import MaterialLeft
from apps.tuning.standing import BevelNow, Face

FACES: tuple[Face, ...] = ("base", "side")
# Where a ski may be when it comes to the bench.
USUAL = ("in_service", "on_bench")
THERE = ("stands", "partly_ground_away")
STEEL: tuple[MaterialQuantity, ...] = ("edge_height", "edge_width")


@dataclass(frozen=True, slots=True)
class Cell:
    """What is known of one ski in one respect.

    Parameters
    ----------
    figure : str
        The number, large; "" where there is none.
    note : str
        What it is worth, in words.
    is_practice : bool
        Whether practice went into it.
    """

    figure: str
    note: str
    is_practice: bool = False


@dataclass(frozen=True, slots=True)
class Row:
    """One respect, with a cell for each ski."""

    label: str
    cells: tuple[Cell, ...]


def overview(sights: Sequence[Sight], unit: Unit) -> tuple[Row, ...]:
    """Lay out the skis beside each other, one row for each bevel and each material."""
    return (
        *_bevel_rows(sights),
        *_material_rows(sights, unit),
        _use_row(sights),
        Row(_("Status"), tuple(_status(sight) for sight in sights)),
    )


def held_back(sight: Sight) -> str:
    """Say that a ski is not one to be worked on as usual; "" for any other."""
    now = sight.condition.status
    if now is None or now.status in USUAL:
        return ""
    told = {"status": word("status", now.status), "day": date_format(now.day, "DATE_FORMAT")}
    return _("%(status)s, since %(day)s. Ask before you work on it.") % told


def _bevel_rows(sights: Sequence[Sight]) -> Iterator[Row]:
    labels = _bevel_labels()
    for edge in EDGES:
        for face in FACES:
            edges = [sight.condition.edge(edge) for sight in sights]
            cells = [_bevel(one.base_bevel if face == "base" else one.side_bevel) for one in edges]
            yield Row(labels[edge, face], tuple(cells))


def _bevel_labels() -> dict[tuple[Edge, Face], str]:
    return {
        ("left", "base"): _("Base bevel, left edge"),
        ("left", "side"): _("Side bevel, left edge"),
        ("right", "base"): _("Base bevel, right edge"),
        ("right", "side"): _("Side bevel, right edge"),
    }


def _bevel(now: BevelNow) -> Cell:
    standing = word("standing", now.standing)
    if now.stated is None:
        return Cell("", standing)
    bevel = degrees(now.stated.bevel_deg)
    if now.standing not in THERE:
        # A large figure would be taken for the bevel that is there.
        told = {"standing": standing, "bevel": bevel}
        return Cell("", _("%(standing)s; last stated %(bevel)s") % told)
    by_practice = now.facet is not None and now.facet.basis == "practice"
    return Cell(bevel, standing, by_practice)


def _material_rows(sights: Sequence[Sight], unit: Unit) -> Iterator[Row]:
    labels = _material_labels()
    for quantity in STEEL:
        for edge in EDGES:
            left = [sight.condition.material.least(quantity, edge) for sight in sights]
            yield Row(labels[quantity, edge], tuple(_material(one, unit) for one in left))
    base = [sight.condition.material.least("base_thickness") for sight in sights]
    yield Row(_("Base thickness"), tuple(_material(one, unit) for one in base))


def _material_labels() -> dict[tuple[MaterialQuantity, Edge], str]:
    return {
        ("edge_height", "left"): _("Edge height, left edge"),
        ("edge_height", "right"): _("Edge height, right edge"),
        ("edge_width", "left"): _("Edge width, left edge"),
        ("edge_width", "right"): _("Edge width, right edge"),
    }


def _material(found: MaterialLeft | None, unit: Unit) -> Cell:
    if found is None:
        return Cell("", _("never measured"))
    left = found.left
    spread = _("± %(spread)s") % {"spread": length(left.expanded_uncertainty_mm, unit)}
    return Cell(length(left.value_mm, unit), spread, left.basis != "readings")


def _status(sight: Sight) -> Cell:
    now = sight.condition.status
    return Cell("", word("status", now.status) if now else _("never stated"))


def _use_row(sights: Sequence[Sight]) -> Row:
    return Row(_("Since the last job"), tuple(_use(sight) for sight in sights))


def _use(sight: Sight) -> Cell:
    days = sight.condition.use.days_since_job
    if days is None:
        return Cell("", _("no job on record"))
    return Cell(ngettext("%(days)s day", "%(days)s days", days) % {"days": days}, "")
