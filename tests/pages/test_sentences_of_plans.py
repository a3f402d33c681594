"""What is told of a plan, a pair and a ski that is due."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from django.utils import translation

from apps.pages.sentences import (
    due_reason_sentence,
    given_up_sentences,
    measure_sentence,
    option_sentence,
    pair_difference_sentence,
    pair_tune_sentences,
    plan_step_sentence,
    plan_warning_sentence,
    sentence,
    verdict_sentences,
)
from apps.registry.fleet_reasons import Reason
from apps.tuning.pairs import pair_now
from apps.tuning.pairs_tune import PairTune
from apps.tuning.plan import Plan, plan_tune
from apps.tuning.plan_request import Targets, TuneRequest
from apps.tuning.plan_verdict import Outcome
from apps.tuning.practice import Practice
from tests.tuning import pair_cases
from tests.tuning.plan_cases import EXACT, edge, ski

REASON = Reason("date", date(2026, 1, 4), date(2026, 1, 3), 5, 365, 1000, ())


def planned(height_mm: float, uncertainty_mm: float = 0.0) -> Plan:
    worn = edge(2.0, height_mm=height_mm, uncertainty_mm=uncertainty_mm)
    return plan_tune(ski(worn, worn), TuneRequest(targets=Targets.both(1.0, 3.0)), EXACT)


def test_a_plan_that_can_be_carried_out() -> None:
    plan = planned(2.0)
    assert verdict_sentences(plan.verdict) == ("Enough is left for this tune.",)
    assert plan_step_sentence(plan.steps[0]).startswith("Dirt and old wax off")
    assert [plan_warning_sentence(one) for one in plan.warnings] == [
        "A freshly ground base is dry: wax it."
    ]


def test_a_plan_that_goes_below_the_least() -> None:
    told, *reasons = verdict_sentences(planned(0.8).verdict, "um")
    assert told == "This tune can't be done: too little would be left."
    assert reasons[0] == (
        "Edge height, left edge: 765\u202fµm would be left (765\u202fµm to 765\u202fµm), and "
        "800\u202fµm is the least."
    )


def test_a_plan_that_has_to_be_measured_first() -> None:
    verdict = planned(0.85, 0.05).verdict
    assert verdict_sentences(verdict)[0] == (
        "Whether enough is left for this tune can't be told yet."
    )
    assert measure_sentence(verdict.measure_first[0]) == (
        "Edge height, left edge: measure again, with a finer gauge or several readings."
    )


def test_a_cheaper_way_and_what_it_gives_up() -> None:
    (way,) = [one for one in planned(2.0).options if one.code == "keep_base_bevel"]
    assert option_sentence(way) == (
        "Keep the base bevel that is there and leave the closing grind out."
    )
    assert given_up_sentences(way) == (
        "Left edge: the base bevel stays at 2.0°, and not 1.0°.",
        "Right edge: the base bevel stays at 2.0°, and not 1.0°.",
    )


def paired(base_deg: float, other_deg: float) -> PairTune:
    first, second = (
        pair_cases.ski(name, bevels=pair_cases.both(deg, 2.0), readings=pair_cases.steel())
        for name, deg in (("A", base_deg), ("B", other_deg))
    )
    now = pair_now(first, second, Practice())
    found = next(one for one in now.differences if one.outcome == "apart")
    assert pair_difference_sentence(found).startswith("Base bevel, left edge: greater on B by 1.5°")
    assert now.tune is not None
    return now.tune


def test_the_tune_of_a_pair() -> None:
    least, enough = pair_tune_sentences(paired(0.5, 2.0))
    assert least.startswith("Of all that was tried this takes the least steel off both skis")
    assert enough == "Both skis have enough left for it."


@pytest.mark.parametrize(
    ("outcome", "told"),
    [
        ("not_feasible", "It can't be carried out: B would fall below the shop's least."),
        ("undecided", "Whether enough is left on B has to be measured first."),
    ],
)
def test_the_tune_of_a_pair_that_is_held_up(outcome: Outcome, told: str) -> None:
    tune = paired(0.5, 2.0)
    held = replace(tune.second, verdict=replace(tune.second.verdict, outcome=outcome))
    assert pair_tune_sentences(replace(tune, second=held))[1] == told


@pytest.mark.parametrize(
    ("reason", "told"),
    [
        (REASON, "The last job was on 3 Jan 2026. This shop services after 365 days."),
        (
            replace(REASON, code="no-job", allowed_days=1),
            (
                "No job is on record. The first record is of 3 Jan 2026. This shop services after "
                "1 day."
            ),
        ),
        (
            replace(REASON, code="finding", severity="severe", allowed_days=1),
            (
                "A severe finding has been open since 3 Jan 2026. This shop mends such a one "
                "within 1 day."
            ),
        ),
        (
            replace(REASON, code="days-out", elapsed_days=25, allowed_days=20),
            (
                "25 days out are on record since the job of 3 Jan 2026. This shop services after "
                "20 days out."
            ),
        ),
        (
            replace(REASON, code="days-out", since=None, elapsed_days=1, allowed_days=1),
            "1 day out is on record, and no job. This shop services after 1 day out.",
        ),
        (
            replace(REASON, code="forecast", days_out_per_1000=333, allowed_days=20),
            "Out on 33 of 100 days in season, it reaches 20 days out on 4 Jan 2026.",
        ),
        (
            replace(
                REASON,
                code="forecast",
                days_out_per_1000=333,
                allowed_days=20,
                earliest=date(2026, 1, 1),
                latest=date(2026, 2, 1),
            ),
            (
                "Out on 33 of 100 days in season, it reaches 20 days out on 4 Jan 2026. With 90 % "
                "probability that is between 1 Jan 2026 and 1 Feb 2026."
            ),
        ),
    ],
    ids=["date", "no-job", "finding", "days-out", "no-job-days-out", "forecast", "limits"],
)
def test_why_a_ski_is_due(reason: Reason, told: str) -> None:
    assert due_reason_sentence(reason) == told
    assert sentence(reason) == told


def test_a_reason_in_another_language() -> None:
    with translation.override("de"):
        assert due_reason_sentence(REASON) == (
            "Die letzte Arbeit war am 3. Januar 2026. Dieser Betrieb macht nach 365 Tagen Service."
        )
