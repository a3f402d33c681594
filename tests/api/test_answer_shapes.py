"""The computed answers show every field that the arithmetic gives, and nothing of their own."""

from __future__ import annotations

import dataclasses

import pytest

from apps.api.answers import condition as answers
from apps.api.answers import figures, geometry, material, pairs, plan, shape
from apps.api.answers.base import AnswerModel
from apps.tuning import (
    cautions,
    centre_groove,
    conformity_checks,
    declared_radius,
    flatness_now,
    gauges,
    ground_plane,
    history,
    history_warning,
    pairs_difference,
    pairs_tune,
    plan_amounts,
    plan_core,
    plan_options,
    plan_request,
    plan_state,
    plan_steps,
    plan_verdict,
    series,
    services,
    standing,
    texture_now,
    twist_now,
)
from apps.tuning import condition as tuning
from apps.tuning import figures as tuning_figures
from apps.tuning import material as tuning_material
from apps.tuning import pairs as tuning_pairs
from apps.tuning import plan as tuning_plan

# What an answer adds to the arithmetic's result, and what it leaves out.
ADDED: dict[type[AnswerModel], set[str]] = {
    answers.ConditionAnswer: {"ski", "joined", "shape"},
    plan.PlanAnswer: {"ski", "joined", "as_of"},
    pairs.PairNowAnswer: {"ski", "joined", "other_joined", "pair", "other_pairs", "as_of"},
    figures.LengthAnswer: {"expanded_uncertainty_mm", "confidence"},
    shape.DeclaredRadiusAnswer: {"comparable_with", "rests_on"},
}
LEFT_OUT: dict[type[AnswerModel], set[str]] = {figures.FindingAnswer: {"open", "closes"}}

PAIRS: list[tuple[type, type[AnswerModel]]] = [
    (tuning.Condition, answers.ConditionAnswer),
    (tuning.OpenFinding, answers.OpenFindingAnswer),
    (tuning.StatusNow, answers.StatusNowAnswer),
    (tuning.Use, answers.UseAnswer),
    (tuning.EdgePasses, answers.EdgePassesAnswer),
    (tuning.Counts, answers.CountsAnswer),
    (flatness_now.FlatnessNow, answers.FlatnessAnswer),
    (flatness_now.WaysToFlat, geometry.WaysToFlatAnswer),
    (flatness_now.CutNow, geometry.CutAnswer),
    (centre_groove.CentreGroove, geometry.CentreGrooveAnswer),
    (twist_now.TwistNow, geometry.TwistAnswer),
    (texture_now.TextureNow, geometry.TextureAnswer),
    (texture_now.TextureFigure, geometry.TextureHeightAnswer),
    (texture_now.TextureFigure, geometry.TextureSpacingAnswer),
    (conformity_checks.JobConformity, geometry.JobConformityAnswer),
    (conformity_checks.BevelCheck, geometry.BevelCheckAnswer),
    (conformity_checks.FlatnessCheck, geometry.FlatnessCheckAnswer),
    (declared_radius.RadiusComparison, shape.RadiusComparisonAnswer),
    (declared_radius.DeclaredRadius, shape.DeclaredRadiusAnswer),
    (history_warning.HistoryWarning, answers.WarningAnswer),
    (standing.StatedBevel, answers.StatedBevelAnswer),
    (standing.DoubtfulPlace, answers.DoubtfulPlaceAnswer),
    (standing.BevelNow, answers.BevelNowAnswer),
    (standing.EdgeBevels, answers.EdgeBevelsAnswer),
    (history.Place, figures.PlaceAnswer),
    (history.Finding, figures.FindingAnswer),
    (history.FindingKey, figures.FindingKeyAnswer),
    (tuning_figures.Length, figures.LengthAnswer),
    (tuning_material.MaterialReading, material.MaterialReadingAnswer),
    (gauges.SharedPart, material.SharedPartAnswer),
    (series.TakenSince, material.TakenSinceAnswer),
    (tuning_material.MaterialLeft, material.MaterialLeftAnswer),
    (tuning_material.ReplacedReadings, material.ReplacedReadingsAnswer),
    (tuning_material.Unmeasured, material.UnmeasuredAnswer),
    (tuning_material.TakenOnRecord, material.TakenOnRecordAnswer),
    (tuning_material.Material, material.MaterialAnswer),
    (services.ServiceRate, material.ServiceRateAnswer),
    (services.ServicesLeft, material.ServicesLeftAnswer),
    (tuning_plan.Plan, plan.PlanAnswer),
    (plan_verdict.Verdict, plan.VerdictAnswer),
    (plan_verdict.Reason, plan.ReasonAnswer),
    (plan_verdict.Measure, plan.MeasureAnswer),
    (plan_steps.PlanStep, plan.PlanStepAnswer),
    (plan_core.ReserveCost, plan.ReserveCostAnswer),
    (plan_options.PlanOption, plan.PlanOptionAnswer),
    (plan_options.Saving, plan.SavingAnswer),
    (plan_request.PlanWarning, plan.PlanWarningAnswer),
    (plan_state.BevelState, plan.PlannedBevel),
    (plan_state.EdgeState, plan.PlannedEdge),
    (plan_state.CrossShape, plan.CrossShapeAnswer),
    (plan_state.BenchState, plan.BenchStateAnswer),
    (plan_amounts.Budget, plan.BudgetAnswer),
    (plan_amounts.Taken, plan.TakenAnswer),
    (plan_amounts.PerEdge, plan.TakenPerEdge),
    (plan_amounts.Spent, plan.SpentAnswer),
    (plan_amounts.Bounded, figures.BoundedMm),
    (ground_plane.GroundPlane, plan.GroundPlaneAnswer),
    (cautions.Caution, plan.CautionAnswer),
    (tuning_pairs.PairNow, pairs.PairNowAnswer),
    (pairs_difference.PairDifference, pairs.PairDifferenceAnswer),
    (pairs_difference.PairValue, pairs.PairValueAnswer),
    (pairs_tune.PairTune, pairs.PairTuneAnswer),
    (pairs_tune.SkiTune, pairs.SkiTuneAnswer),
    (pairs_tune.ConsideredTargets, pairs.ConsideredTargetsAnswer),
    (pairs_tune.SteelCost, pairs.SteelCostAnswer),
    (plan_request.Targets, pairs.TargetsAnswer),
    (plan_request.EdgeTarget, pairs.EdgeTargetAnswer),
]


@pytest.mark.parametrize(("computed", "shown"), PAIRS, ids=lambda one: one.__name__)
def test_an_answer_shows_what_was_computed(computed: type, shown: type[AnswerModel]) -> None:
    computed_fields = {field.name for field in dataclasses.fields(computed)}
    expected = (computed_fields - LEFT_OUT.get(shown, set())) | ADDED.get(shown, set())
    assert set(shown.model_fields) == expected
