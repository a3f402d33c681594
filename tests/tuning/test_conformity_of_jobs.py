"""A job against its own target: what counts as proof, and what each outcome says."""

from dataclasses import replace

import pytest

from apps.tuning.conformity_checks import JobConformity
from apps.tuning.conformity_now import conformity_of, job_conformity
from apps.tuning.history import (
    BaseProfile,
    BevelStatement,
    GrooveStatement,
    Moment,
    Place,
    Target,
    Visit,
    in_order,
)
from apps.tuning.practice import Practice
from tests.tuning.visits import base, side, visit

X = (0.0, 11.0, 22.0, 33.0, 44.0, 55.0, 66.0)
BASE = Target(base_bevel_deg=0.5)


def job(target: Target | None = BASE, *bevels: BevelStatement, number: int = 3) -> Visit:
    return replace(visit(number, bevels=bevels), target=target)


def flat_job(
    gaps: tuple[float, ...], *, moment: Moment | None = "after", off_um: float | None = None
) -> Visit:
    profile = BaseProfile(X, gaps, moment=moment, uncertainty_um=off_um)
    target = Target(flatness_tolerance_mm=0.05)
    return replace(visit(3, profiles=(profile,)), target=target)


def judged(*visits: Visit, practice: Practice | None = None) -> JobConformity:
    found = conformity_of(in_order(visits), practice=practice or Practice())
    assert found is not None
    return found


def outcomes(found: JobConformity) -> list[tuple[str, str, str]]:
    return [(one.edge, one.face, one.outcome) for one in found.bevels]


# Tolerance 0.25 deg (practice) around 0.5; guard bands of 1.645 standard uncertainties beside
# one limit (ISO 14253-1:2017): at u = 0.05 nothing is proved between 0.668 and 0.832.
@pytest.mark.parametrize(
    ("measured", "outcome"), [(0.5, "pass"), (0.66, "pass"), (0.7, "undecided"), (0.85, "fail")]
)
def test_a_measured_bevel_against_its_target(measured: float, outcome: str) -> None:
    statements = [base(measured, edge=edge, basis="measured", u=0.1) for edge in ("left", "right")]
    found = judged(job(BASE, *statements))
    assert outcomes(found) == [("left", "base", outcome), ("right", "base", outcome)]
    assert (found.outcome, found.method) == (outcome, "ISO 14253-1:2017")
    check = found.bevels[0]
    assert (check.lower_deg, check.upper_deg) == (0.25, 0.75)
    assert check.guard_band_deg == pytest.approx(0.0822, abs=1e-4)


def test_undecided_names_the_gauge_that_would_decide() -> None:
    check = judged(job(BASE, base(0.7, basis="measured", u=0.25))).bevels[0]
    # 0.05 deg from the limit: 2 * 0.05 / 1.645, by the one-sided normal factor.
    assert check.deciding_uncertainty_deg == pytest.approx(0.0608, abs=1e-4)
    assert "sure within 0.06 deg" in check.sentence


@pytest.mark.parametrize("measured", [0.75, 0.754])
def test_too_near_the_limit_for_any_gauge(measured: float) -> None:
    check = judged(job(BASE, base(measured, basis="measured", u=0.1))).bevels[0]
    assert check.outcome == "undecided"
    assert "No gauge would decide" in check.sentence


def test_a_target_near_zero_has_no_lower_limit() -> None:
    check = judged(job(Target(base_bevel_deg=0.2), base(0.0, basis="measured", u=0.1))).bevels[0]
    assert (check.lower_deg, check.outcome) == (None, "pass")


def test_an_unstated_uncertainty_is_the_shops_practice() -> None:
    statement = base(0.5, basis="measured", u=None)
    narrow, wide = Practice(bevel_uncertainty_deg=0.05), Practice(bevel_uncertainty_deg=0.6)
    sure, unsure = (judged(job(BASE, statement), practice=one).bevels[0] for one in (narrow, wide))
    assert (sure.uncertainty_assumed, sure.outcome) == (True, "pass")
    assert (unsure.expanded_uncertainty_deg, unsure.outcome) == (0.6, "undecided")


@pytest.mark.parametrize(
    "statement",
    [
        base(0.5),
        base(0.5, basis="specified"),
        base(0.5, basis="measured", moment="before"),
        side(2.0, basis="measured"),
        base(0.5, edge="right", basis="measured"),
    ],
)
def test_what_proves_nothing_of_the_left_base_bevel(statement: BevelStatement) -> None:
    check = judged(job(BASE, statement)).bevels[0]
    assert (check.edge, check.outcome, check.measured_deg) == ("left", "unmeasured", None)
    assert check.sentence == "The left base bevel was not measured after the work."
    assert check.rests_on == ("r003",)


def test_each_stretch_measured_is_a_check_and_the_later_reading_counts() -> None:
    stretch = base(0.9, basis="measured", u=0.05, span=(0, 300))
    first = base(0.9, basis="measured", u=0.05)
    again = base(0.5, basis="measured", u=0.05)
    found = judged(job(BASE, stretch, first, again))
    spans = [(one.station_from_mm, one.outcome) for one in found.bevels if one.edge == "left"]
    assert spans == [(0, "fail"), (None, "pass")]
    assert found.outcome == "fail"


# What counts beside the job: records of their own, the same day, before the next job.
def test_a_later_reading_of_the_day_counts_and_no_other() -> None:
    asked = job(Target(side_bevel_deg=2.0))
    reading = visit(3, record="m", kind="bevel-setting", bevels=(side(2.0, basis="measured"),))
    found = judged(asked, reading)
    assert outcomes(found) == [("left", "side", "pass"), ("right", "side", "unmeasured")]
    assert (found.outcome, found.rests_on) == ("unmeasured", ("r003", "m"))
    tomorrow = replace(reading, day=visit(4).day)
    assert judged(asked, tomorrow).bevels[0].outcome == "unmeasured"
    between = visit(3, record="s0", local_time="15:00:00")
    late = replace(reading, instant="2024-01-04T16:00:00Z")
    assert judged(asked, between, late).bevels[0].outcome == "unmeasured"


def test_a_standalone_reading_before_the_work_is_no_proof() -> None:
    before = base(0.5, basis="measured", moment="before")
    reading = visit(3, record="m", kind="bevel-setting", bevels=(before,))
    assert judged(job(), reading).outcome == "unmeasured"


def test_the_latest_job_with_a_measurable_target_counts() -> None:
    old, new = job(number=1), job(Target(base_bevel_deg=1.0), number=2)
    words_only = job(Target(), number=5)
    assert judged(old, new, words_only).job == "r002"
    assert judged(old, new).day == visit(2).day


@pytest.mark.parametrize("target", [None, Target()])
def test_without_a_measurable_target_there_is_no_verdict(target: Target | None) -> None:
    assert conformity_of([job(target)], practice=Practice()) is None
    assert job_conformity(job(target), practice=Practice()) is None
    assert conformity_of([], practice=Practice()) is None


# One gap within 0.01 mm (k = 2) makes a straightness within 0.0141 mm; the limit is 0.05 mm.
@pytest.mark.parametrize(
    ("depth", "outcome"), [(20.0, "pass"), (45.0, "undecided"), (55.0, "undecided"), (90.0, "fail")]
)
def test_flatness_against_its_target(depth: float, outcome: str) -> None:
    gaps = (0.0, depth, depth, depth, depth, depth, 0.0)
    (check,) = judged(flat_job(gaps, off_um=10.0)).flatness
    assert check.outcome == outcome
    assert check.straightness is not None
    assert check.straightness.value_mm == pytest.approx(depth / 1000)
    assert check.straightness.expanded_uncertainty_mm == pytest.approx(0.01414, abs=1e-5)
    assert ("would decide" in check.sentence) == (outcome == "undecided")


def test_flatness_that_nobody_measured_or_that_can_t_be_read() -> None:
    gaps = (0.0, 20.0, 20.0, 20.0, 20.0, 20.0, 0.0)
    (before,) = judged(flat_job(gaps, moment="before")).flatness
    assert (before.outcome, before.place) == ("unmeasured", None)
    short = replace(
        job(Target(flatness_tolerance_mm=0.05)),
        profiles=(BaseProfile((0.0, 66.0), (0.0, 0.0), Place(station="waist")),),
    )
    (unread,) = judged(short).flatness
    assert (unread.outcome, unread.straightness) == ("unmeasured", None)
    assert "at least 3 are needed" in unread.sentence
    assert unread.place == Place(station="waist")


def test_the_groove_is_no_part_of_the_flatness_judged() -> None:
    gaps = (0.0, 10.0, 15.0, 600.0, 15.0, 10.0, 0.0)
    described = replace(
        visit(0, kind="description"), centre_groove=GrooveStatement(8.0, measured=False)
    )
    (check,) = judged(described, flat_job(gaps)).flatness
    assert (check.outcome, check.rests_on) == ("pass", ("r003", "r000"))
    (unknown,) = judged(flat_job(gaps)).flatness
    assert unknown.outcome == "unmeasured"
    assert "centre_groove_width_mm" in unknown.sentence
