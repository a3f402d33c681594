"""The outline of a ski out of its records."""

from __future__ import annotations

from collections.abc import Iterable

from apps.pages.pictures.ski_shape import SkiShape, WidthRow
from apps.records.folding import Folded
from apps.registry.descriptions import Described
from apps.registry.widths import described_widths, measured_in

LENGTH = "length_mm"


def ski_shape_of(known: Described, effective: Iterable[Folded]) -> SkiShape:
    """Give the outline of a ski: what was measured last, else what descriptions state.

    Parameters
    ----------
    known : Described
        As `Sight.known` holds it.
    effective : iterable of Folded
        Records in effect in the order of time, as `Sight.effective` holds them.
    """
    measured = measured_in(effective)
    widths = {
        name: width.value_mm for name, width in (described_widths(known) | measured.widths).items()
    }
    length_mm = known.fields.get(LENGTH)
    return SkiShape(
        None if length_mm is None else float(length_mm),
        widths.get("shovel"),
        widths.get("waist"),
        widths.get("tail"),
        widths.get("chord"),
        None
        if measured.row is None
        else WidthRow(measured.row.positions_mm, measured.row.widths_mm),
    )
