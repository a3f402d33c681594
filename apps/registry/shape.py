"""Widths and turn radii of a ski from its records; the formulas are the bench arithmetic's."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from apps.records.folding import Folded
from apps.registry.descriptions import Described
from apps.registry.radii import Radius, UnknownRadius, found_radii, stated_radii
from apps.registry.widths import Row, Width, described_widths, measured_in


@dataclass(frozen=True, slots=True)
class Shape:
    """The shape of a ski.

    Parameters
    ----------
    widths : mapping of str to Width
        `shovel`, `waist`, `tail` and `chord`, as far as they are known.
    row : Row or None
        The latest row of widths along the ski.
    radii : tuple of Radius
        Each by its own way.
    unknown : tuple of UnknownRadius
        Why the other ways give none.
    """

    widths: Mapping[str, Width]
    row: Row | None
    radii: tuple[Radius, ...]
    unknown: tuple[UnknownRadius, ...]


def shape_in(effective: Iterable[Folded], known: Described) -> Shape:
    """Read a shape: what was measured last, else what the description says.

    Parameters
    ----------
    effective : iterable of Folded
        Records in effect, in the order of time.
    known : Described
        What the descriptions say.
    """
    measured = measured_in(effective)
    row = measured.row
    from_row = {} if row is None else {"waist": row.waist()}
    widths = described_widths(known) | from_row | measured.widths
    found, unknown = found_radii(widths, row)
    radii = (*stated_radii(known, measured.radius), *found)
    return Shape(widths, row, radii, tuple(unknown))
