"""The whole condition: profiles, findings, status, use, counts, and the day it holds for."""

import math
from datetime import timedelta

import pytest

from apps.tuning.condition import Condition, fold
from apps.tuning.history import BaseProfile, FindingKey, Moment, Place, Step, Visit
from apps.tuning.practice import Practice
from apps.tuning.rates import RemovalPair, learn_rates
from tests.tuning.visits import TODAY, base, day, finding, grind, height, visit

PRACTICE = Practice()


def condition(*visits: Visit, practice: Practice = PRACTICE) -> Condition:
    return fold(visits, practice=practice, today=TODAY)


def profile(gap_um: float, station: str | None = None, moment: Moment | None = None) -> BaseProfile:
    """Light in the middle."""
    return BaseProfile((0.0, 30.0, 60.0), (0.0, gap_um, 0.0), Place(station=station), moment)


def test_an_empty_history_says_nothing_and_invents_nothing() -> None:
    now = condition()
    assert now.as_of == TODAY
    assert [one.standing for edge in now.bevels for one in (*edge.base, *edge.side)] == [
        "never_stated"
    ] * 4
    assert now.material.known == ()
    assert len(now.material.unknown) == 5
    assert (now.flatness, now.open_findings, now.warnings) == ((), (), ())
    assert (now.status, now.use.total_days, now.use.since_job_high_days) == (None, None, None)
    assert (now.use.days_since_job, now.use.last_job) == (None, None)
    assert (now.counts.records, now.counts.jobs, now.counts.operations) == (0, 0, ())


def test_each_edge_by_name() -> None:
    now = condition(visit(0, bevels=(base(1.0, edge="right"),)))
    assert now.edge("left").base_bevel.standing == "never_stated"
    assert now.edge("right").base_bevel.standing == "stands"


# Own data, derived: light of 150 um in the middle of a straight line between the edges.
def test_the_latest_profile_with_its_shape() -> None:
    now = condition(visit(0, profiles=(profile(20.0),)), visit(1, profiles=(profile(150.0),)))
    (flat,) = now.flatness
    assert (flat.shape, flat.record, flat.stale_since) == ("concave", "r001", None)
    assert flat.straightness is not None
    assert flat.hollow is not None
    assert flat.crown is not None
    assert flat.straightness.value_mm == pytest.approx(0.150)
    assert flat.hollow.value_mm == pytest.approx(0.150)
    assert flat.crown.value_mm == 0.0
    assert flat.straightness.expanded_uncertainty_mm == pytest.approx(0.01 * math.sqrt(2.0))
    assert flat.crown.low_mm == 0.0
    assert flat.tolerance_mm == 0.1
    assert flat.sentence == "Concave within 0.150 mm on 2024-01-02."


def test_the_tolerance_of_the_shop_counts() -> None:
    narrow = condition(
        visit(0, profiles=(profile(80.0),)), practice=Practice(flatness_tolerance_mm=0.05)
    )
    assert narrow.flatness[0].shape == "concave"
    assert condition(visit(0, profiles=(profile(80.0),))).flatness[0].shape == "flat"


def test_places_keep_their_own_profile_newest_first() -> None:
    visits = [
        visit(n, profiles=(profile(10.0, place),))
        for n, place in enumerate(("waist", "tip", "waist"))
    ]
    found = [(one.place.station, one.record) for one in condition(*visits).flatness]
    assert found == [("waist", "r002"), ("tip", "r001")]


@pytest.mark.parametrize(
    ("step", "moment", "stale"),
    [
        (grind(), "before", "r001"),
        (grind(), "after", None),
        (grind(None, Place(station="tip")), "before", None),
        (grind(None, Place(position_mm=5)), "before", "r001"),
        (Step("base_bevel"), "before", None),
        (Step("replace_edge"), "before", None),
    ],
)
def test_work_on_the_base_plane_makes_a_profile_stale(
    step: Step, moment: Moment, stale: str | None
) -> None:
    job = visit(1, steps=(step,), profiles=(profile(150.0, "waist", moment),))
    (found,) = condition(job).flatness
    assert found.stale_since == stale
    assert found.sentence.endswith("the base was worked since.") == (stale is not None)


def test_a_profile_that_cannot_be_read_says_why() -> None:
    short = BaseProfile((0.0, 60.0), (0.0, 0.0))
    (found,) = condition(visit(0, profiles=(short,))).flatness
    assert (found.shape, found.straightness, found.hollow, found.crown) == (None,) * 4
    assert "can't be read" in found.sentence
    assert "at least 3 are needed" in found.sentence


def test_open_findings_until_one_closes_them() -> None:
    made = visit(0, findings=(finding("r000", 0), finding("r000", 1, what="rust")))
    fixed = visit(1, findings=(finding("r001", opened=False, closes=FindingKey("r000", 0)),))
    still = condition(made, fixed).open_findings
    assert [(one.finding.what, one.day, one.author) for one in still] == [
        ("rust", day(0), "bench@hill.example")
    ]
    both = visit(2, findings=(finding("r002", what="rust", closes=FindingKey("r000", 1)),))
    assert [one.finding.key.record for one in condition(made, fixed, both).open_findings] == [
        "r002"
    ]


def test_what_was_repaired_at_once_is_not_open() -> None:
    at_once = visit(0, findings=(finding("r000", opened=False),))
    assert condition(at_once).open_findings == ()
    same = (finding("r000", 1, opened=False, closes=FindingKey("r000", 0)), finding("r000", 0))
    assert condition(visit(0, findings=same)).open_findings == ()


def test_damage_is_not_lost_by_closing_it_too_early_or_by_itself() -> None:
    early = visit(0, findings=(finding("r000", opened=False, closes=FindingKey("r001", 0)),))
    made = visit(1, findings=(finding("r001"),))
    assert len(condition(early, made).open_findings) == 1
    itself = visit(1, findings=(finding("r001", closes=FindingKey("r001", 0)),))
    assert len(condition(itself).open_findings) == 1


def test_the_latest_status() -> None:
    now = condition(
        visit(0, kind="status", status="in_service"),
        visit(2, kind="status", status="on_bench"),
        visit(3),
    )
    assert now.status is not None
    assert (now.status.status, now.status.record, now.status.day) == ("on_bench", "r002", day(2))


def use(number: int, days: int) -> Visit:
    return visit(number, kind="usage", usage_days=days)


def test_days_in_use_since_the_last_job() -> None:
    now = condition(use(10, 5), visit(15), use(20, 4), use(30, 3)).use
    assert now.total_days == 12
    # The report of day 20 covers days before the job of day 15 too.
    assert (now.since_job_low_days, now.since_job_high_days) == (3, 7)
    assert now.days_since_job == (TODAY - day(15)).days
    assert now.last_job == "r015"
    assert now.rests_on == ("r010", "r020", "r030")


def test_use_without_a_job_and_a_job_without_use() -> None:
    worn = condition(use(10, 5)).use
    assert (worn.total_days, worn.since_job_low_days, worn.since_job_high_days) == (5, None, None)
    worked = condition(visit(0)).use
    assert (worked.total_days, worked.since_job_high_days) == (None, None)
    rested = condition(use(1, 5), visit(2)).use
    assert (rested.since_job_low_days, rested.since_job_high_days) == (0, 0)


def test_counts_of_what_is_on_record() -> None:
    now = condition(
        visit(0, steps=(grind(), Step("belt_grind"), Step("structure"))),
        visit(1, steps=(Step("side_bevel", edges=("left",)), Step("base_bevel"))),
        use(2, 1),
    ).counts
    assert (now.records, now.jobs, now.grinds) == (3, 2, 2)
    assert [(one.edge, one.side, one.base) for one in now.edge_passes] == [
        ("left", 1, 1),
        ("right", 0, 1),
    ]
    assert now.operations == (
        ("base_bevel", 1),
        ("belt_grind", 1),
        ("side_bevel", 1),
        ("stone_grind", 1),
        ("structure", 1),
    )


def test_as_of_is_the_end_of_that_day() -> None:
    visits = (
        visit(0, bevels=(base(1.0),)),
        visit(5, steps=(grind(),)),
        visit(6, bevels=(base(0.5),)),
    )
    then = fold(visits, practice=PRACTICE, today=TODAY, as_of=day(5))
    assert (then.as_of, then.counts.records) == (day(5), 2)
    assert then.edge("left").base_bevel.standing == "uncertain"
    assert then.use.days_since_job == 0
    assert condition(*visits).edge("left").base_bevel.standing == "stands"


def test_a_record_of_the_future_is_folded_and_flagged() -> None:
    late = Visit("late", "job", "bench@hill.example", TODAY + timedelta(days=9), steps=(grind(),))
    now = condition(visit(700, bevels=(base(1.0),)), late)
    assert now.edge("left").base_bevel.standing == "uncertain"
    assert now.use.days_since_job == 0
    assert [one.code for one in now.warnings] == ["dated-in-future"]
    then = fold([late], practice=PRACTICE, today=TODAY, as_of=TODAY)
    assert (then.counts.records, then.warnings) == (0, ())


def test_learned_rates_reach_the_services_left() -> None:
    pair = RemovalPair("stone_grind", "base_thickness", 1.4, 1.3, 0.001)
    learned = learn_rates([pair] * 3, PRACTICE)
    reading = height(1.0, None, quantity="base_thickness")
    now = fold([visit(0, readings=(reading,))], practice=PRACTICE, today=TODAY, learned=learned)
    services = now.material.known[0].services
    assert services.rate.basis == "readings"
    # Derived: a reserve of 0.4 mm at 0.1 mm a service.
    assert services.services == 4
