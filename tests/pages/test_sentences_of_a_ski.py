"""What is told of one ski: its bevels, its base, the target of a job; by own histories."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from django.utils import translation

from apps.pages.sentences import (
    bevel_check_sentence,
    conformity_sentence,
    flatness_check_sentence,
    flatness_sentence,
    sentence,
    standing_sentence,
    texture_sentence,
    twist_sentence,
    unmeasured_sentence,
)
from apps.tuning.condition import Condition, fold
from apps.tuning.history import (
    BaseProfile,
    BevelStatement,
    Edge,
    Place,
    Step,
    Target,
    TextureTrace,
    Visit,
)
from apps.tuning.practice import Practice
from apps.tuning.standing import BevelNow, Face
from tests.tuning.visits import TODAY, base, grind, height, side, visit

X = (0.0, 11.0, 22.0, 33.0, 44.0, 55.0, 66.0)
HOLLOW = (0.0, 60.0, 110.0, 120.0, 110.0, 60.0, 0.0)
WAVES = tuple(float(n % 7) for n in range(200))


def now(*visits: Visit) -> Condition:
    return fold(visits, practice=Practice(), today=TODAY)


def bevel(found: Condition, face: Face = "base", edge: Edge = "left") -> BevelNow:
    bevels = found.edge(edge)
    return bevels.base_bevel if face == "base" else bevels.side_bevel


def told(*visits: Visit, face: Face = "base") -> str:
    return standing_sentence(bevel(now(*visits), face))


def set_to(bevel_deg: float, facet: float | None = 2.0) -> Visit:
    return visit(0, bevels=(base(bevel_deg, facet=facet),))


def ground(depth_mm: float | None) -> Visit:
    return visit(5, steps=(grind(depth_mm),))


@pytest.mark.parametrize(
    ("visits", "expected"),
    [
        ((), "Nobody stated it."),
        (
            (set_to(1.0),),
            "Set to 1.0° on 1 Jan 2024. Not ground since. Its facet is 2.00\u202fmm wide.",
        ),
        (
            (set_to(1.0, None),),
            (
                "Set to 1.0° on 1 Jan 2024. Not ground since. Its facet is taken as "
                "2.00\u202fmm wide, by practice."
            ),
        ),
        (
            (set_to(0.0),),
            "Set to 0.0° on 1 Jan 2024. It has no facet that a grind could take.",
        ),
        (
            (set_to(1.0), ground(0.2)),
            "Set to 1.0° on 1 Jan 2024. The grind of 6 Jan 2024 left nothing of it.",
        ),
        (
            (set_to(1.0), ground(None)),
            (
                "Set to 1.0° on 1 Jan 2024. Worked on 6 Jan 2024 to a depth or bevel that "
                "nobody stated. Measure it."
            ),
        ),
        (
            (visit(0, steps=(Step("replace_edge"),)),),
            "The edge was replaced on 1 Jan 2024, and nobody stated the bevel since.",
        ),
        (
            (visit(0, steps=(Step("base_bevel"),)),),
            (
                "Nobody stated it. Worked on 1 Jan 2024 to a depth or bevel that nobody stated. "
                "Measure it."
            ),
        ),
    ],
)
def test_the_standing_of_a_base_bevel(visits: tuple[Visit, ...], expected: str) -> None:
    assert told(*visits) == expected


@pytest.mark.parametrize(
    ("facet", "ending"), [(2.0, "of the facet is left ("), (None, "is left by practice (")]
)
def test_a_facet_partly_ground_away(facet: float | None, ending: str) -> None:
    sentence = told(set_to(1.0, facet), ground(0.01))
    assert ending in sentence
    assert "Ground on 6 Jan 2024: 1.4" in sentence


def test_a_facet_that_may_be_gone() -> None:
    sentence = told(set_to(1.0, 2.0), ground(0.034))
    assert "whether any of the facet is left can't be told, at most " in sentence


def test_a_side_and_what_was_measured() -> None:
    measured = visit(0, kind="measurement", bevels=(side(2.0, basis="measured"),))
    sentence = told(measured, face="side")
    assert sentence == "Measured as 2.0° on 1 Jan 2024. Nothing on record has worked it since."


def test_places_worked_on_their_own() -> None:
    spot = Step("side_bevel", place=Place(edge="left", position_mm=700, length_mm=50))
    found = told(visit(0, bevels=(side(2.0),)), visit(3, steps=(spot,)), face="side")
    assert found.endswith(
        "At 1 place it was worked on its own since; what it is there is not known."
    )


def test_the_facet_is_shown_in_the_visitors_unit_and_language() -> None:
    with translation.override("de"):
        sentence = standing_sentence(bevel(now(set_to(1.0))), "um")
    assert sentence.startswith("Eingestellt auf 1,0° am 1. Januar 2024.")
    assert "2000\u202fµm" in sentence


def test_what_nobody_measured() -> None:
    unknown = now().material.unknown
    assert unmeasured_sentence(unknown[0]).startswith("Edge height, left edge: nobody measured it.")
    new = now(visit(0, steps=(Step("replace_edge"),))).material.unknown
    assert "nobody measured it since the edge was replaced." in unmeasured_sentence(new[0])


def profiled(gaps: tuple[float, ...], number: int = 1, **more: object) -> Visit:
    return visit(number, profiles=(BaseProfile(X[: len(gaps)], gaps, **more),))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("gaps", "expected"),
    [
        (tuple(0.0 for _ in X), "Flat: straight within 0.000\u202fmm on 2 Jan 2024."),
        (HOLLOW, "Concave, the edges stand high: straight within 0.120\u202fmm on 2 Jan 2024."),
        (tuple(120 - gap for gap in HOLLOW), "Convex, the base stands high: straight within "),
        ((0.0, 200.0, 0.0, 200.0, 0.0, 200.0, 0.0), "Uneven: straight within "),
        ((0.0, 1.0), "The profile of 2 Jan 2024 can't be read as one of the base."),
    ],
)
def test_the_shape_of_the_base(gaps: tuple[float, ...], expected: str) -> None:
    (found,) = now(profiled(gaps)).flatness
    assert flatness_sentence(found).startswith(expected)


def test_a_profile_from_before_a_grind() -> None:
    (found,) = now(profiled(HOLLOW), ground(0.1)).flatness
    assert flatness_sentence(found).endswith("The base was worked since, so measure it again.")


def traced(heights: tuple[float, ...]) -> Visit:
    return replace(visit(1), traces=(TextureTrace(5.0, heights),))


def test_the_structure_of_the_base() -> None:
    found, short = now(traced(WAVES)).texture, now(traced((0.0, 1.0))).texture
    assert found is not None
    assert short is not None
    assert texture_sentence(found) == "Structure of the base as traced on 2 Jan 2024."
    assert texture_sentence(short).startswith("The trace of 2 Jan 2024 is too short")


def leaning(slope: float, position_mm: int) -> BaseProfile:
    return BaseProfile(X, tuple(100.0 + slope * at for at in X), Place(position_mm=position_mm))


@pytest.mark.parametrize(
    ("slope", "expected"), [(10.0, "That is twist only if"), (0.0, "by no more than is unsure.")]
)
def test_the_twist_of_the_base(slope: float, expected: str) -> None:
    profiles = (leaning(0.0, 200), leaning(slope, 1200))
    (found,) = now(visit(0, profiles=profiles)).twist
    assert twist_sentence(found).startswith("Between 200 mm and 1200 mm from the tail")
    assert expected in twist_sentence(found)


def job(target: Target, *bevels: BevelStatement, **more: object) -> Condition:
    return now(replace(visit(3, bevels=bevels), target=target, **more))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("measured", "whole", "one"),
    [
        (0.5, "meets its target in all it asks for.", "which meets the target of 0.5°."),
        (0.85, "misses its target.", "which misses the target of 0.5°."),
        (0.7, "may meet its target or not.", "A gauge sure within 0.06° (k = 2) would decide."),
        (0.75, "may meet its target or not.", "No gauge would decide"),
        (None, "was not measured in all it asks for.", "not measured after the work."),
    ],
)
def test_a_bevel_against_its_target(measured: float | None, whole: str, one: str) -> None:
    edges: tuple[Edge, Edge] = ("left", "right")
    found = [] if measured is None else [base(measured, edge=e, basis="measured") for e in edges]
    judged = job(Target(base_bevel_deg=0.5), *found).conformity
    assert judged is not None
    assert conformity_sentence(judged) == f"The tune of 4 Jan 2024 {whole}"
    left, right = (bevel_check_sentence(check) for check in judged.bevels)
    assert left.startswith("Base bevel, left edge: ")
    assert right.startswith("Base bevel, right edge: ")
    assert one in left


@pytest.mark.parametrize(
    ("gaps", "expected"),
    [
        ((0.0, 20.0, 20.0, 20.0, 20.0, 20.0, 0.0), "which meets the target of 0.050\u202fmm."),
        ((0.0, 90.0, 90.0, 90.0, 90.0, 90.0, 0.0), "which misses the target of 0.050\u202fmm."),
        ((0.0, 45.0, 45.0, 45.0, 45.0, 45.0, 0.0), "(k = 2) would decide."),
        ((0.0, 1.0), "Base: the profile taken after the work can't be read."),
        ((), "Base: nobody laid a true bar on it after the work"),
    ],
)
def test_flatness_against_its_target(gaps: tuple[float, ...], expected: str) -> None:
    profiles = (BaseProfile(X[: len(gaps)], gaps, uncertainty_um=10.0),) if gaps else ()
    judged = job(Target(flatness_tolerance_mm=0.05), profiles=profiles).conformity
    assert judged is not None
    (check,) = judged.flatness
    assert expected in flatness_check_sentence(check)


def test_anything_is_told_by_what_it_is() -> None:
    found = now(set_to(1.0), visit(3, readings=(height(1.7),)), visit(9, readings=(height(1.9),)))
    assert sentence(bevel(found)) == standing_sentence(bevel(found))
    assert sentence(found.material.unknown[0]) == unmeasured_sentence(found.material.unknown[0])
    (grew,) = found.warnings
    assert sentence(grew, "um").startswith("Edge height, left edge: 1900\u202fµm read on")


def test_what_has_no_sentence_is_refused() -> None:
    with pytest.raises(TypeError, match="date"):
        sentence(date(2026, 1, 3))
