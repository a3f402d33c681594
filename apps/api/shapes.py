"""Widths and turn radius of a ski from its records; the formulas are the bench arithmetic's."""

from __future__ import annotations

from collections.abc import Iterable

from apps.api.answers.shape import ShapeAnswer
from apps.api.descriptions import Described
from apps.api.radii import declared_answer, found_radii, stated_radii
from apps.api.sidecuts import form_answer
from apps.api.widths import described_widths, measured_in
from apps.records.folding import Folded


def shape_of(effective: Iterable[Folded], known: Described) -> ShapeAnswer:
    """Give widths and radii: what was measured last, else what the description says.

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
    radii = [*stated_radii(known, measured.radius), *found]
    return ShapeAnswer(
        **{name: width.answer() for name, width in widths.items()},
        radii=[radius.answer() for radius in radii],
        unknown=unknown,
        sidecut=None if row is None else form_answer(row),
        declared=declared_answer(radii),
    )
