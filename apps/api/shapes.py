"""Widths and turn radius of a ski from its records; the formulas are the bench arithmetic's."""

from __future__ import annotations

from collections.abc import Iterable

from apps.api.answers.shape import ShapeAnswer, UnknownRadius
from apps.api.descriptions import Described
from apps.api.radii import declared_answer, radius_answer
from apps.api.sidecuts import form_answer
from apps.api.widths import width_answer
from apps.records.folding import Folded
from apps.registry.shape import shape_in


def shape_of(effective: Iterable[Folded], known: Described) -> ShapeAnswer:
    """Give widths and radii: what was measured last, else what the description says.

    Parameters
    ----------
    effective : iterable of Folded
        Records in effect, in the order of time.
    known : Described
        What the descriptions say.
    """
    shape = shape_in(effective, known)
    unknown = [UnknownRadius(method=one.method, sentence=one.sentence) for one in shape.unknown]
    return ShapeAnswer(
        **{name: width_answer(width) for name, width in shape.widths.items()},
        radii=[radius_answer(radius) for radius in shape.radii],
        unknown=unknown,
        sidecut=None if shape.row is None else form_answer(shape.row),
        declared=declared_answer(shape.radii),
    )
