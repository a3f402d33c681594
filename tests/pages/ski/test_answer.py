"""The answer that a person reads first: what is set, and whether it stands."""

from __future__ import annotations

from typing import get_args

import pytest

from apps.pages.ski.standing import FACE_LINES, headline
from apps.tuning.standing import BevelNow, EdgeBevels, Face, Standing


def bevel(face: Face, standing: Standing) -> BevelNow:
    return BevelNow("left", face, None, None, standing, None, None, None, None, "", (), ())


def edges(base: tuple[Standing, ...], side: tuple[Standing, ...]) -> list[EdgeBevels]:
    return [
        EdgeBevels(
            "left",
            tuple(bevel("base", one) for one in base),
            tuple(bevel("side", one) for one in side),
        )
    ]


@pytest.mark.parametrize(
    ("base", "side", "said"),
    [
        (("stands",), ("stands",), "What was set stands."),
        (("never_stated",), ("never_stated",), "Nobody ever stated a bevel of this ski."),
        (
            ("partly_ground_away",),
            ("stands",),
            "The side bevels stand. The base bevels are partly ground away.",
        ),
        (
            ("partly_ground_away", "stands"),
            ("stands",),
            "The side bevels stand. Some of the base bevels are partly ground away.",
        ),
        (
            ("ground_away",),
            ("never_stated", "stands"),
            "Not every side bevel was ever stated. The base bevels are ground away.",
        ),
        (
            ("stands", "never_stated"),
            ("stands", "never_stated"),
            "Not every bevel of this ski was ever stated.",
        ),
        (
            ("uncertain",),
            ("uncertain", "stands"),
            "Nobody can say whether all that was set still stands.",
        ),
        (("partly_ground_away",), ("partly_ground_away",), "What was set is partly ground away."),
    ],
)
def test_each_mix_has_an_answer(
    base: tuple[Standing, ...], side: tuple[Standing, ...], said: str
) -> None:
    assert headline(edges(base, side)) == said


def test_every_face_has_a_line_for_every_standing() -> None:
    assert set(FACE_LINES) == {(face, one) for face in get_args(Face) for one in get_args(Standing)}
