"""Every closed list has a word for each of its members, and for nothing else."""

from __future__ import annotations

from collections.abc import Iterable
from typing import get_args

import pytest
from django.template import Context, Template
from django.utils import translation

from apps.pages.words import WORDS, UnknownWord, choices, word
from apps.records import bench_words, exchange_words, folding, quantities, signing, vocabulary
from apps.records.clusters import Standing as LinkStanding
from apps.records.kinds import KINDS
from apps.registry.actors import Scope
from apps.registry.fleet_reasons import ReasonCode
from apps.registry.models.people import ROLES
from apps.registry.models.record import RANKS
from apps.tuning import (
    cautions,
    conformity_checks,
    figures,
    flatness,
    ground_plane,
    history,
    history_warning,
    pairs_difference,
    plan_amounts,
    plan_options,
    plan_request,
    plan_verdict,
    standing,
)

IRON = {one.code for one in cautions.iron_cautions(250.0)}
MEMBERS: dict[str, Iterable[str]] = {
    "construction": vocabulary.Construction,
    "base_material": vocabulary.BaseMaterial,
    "base_colour": vocabulary.BaseColour,
    "use": vocabulary.Use,
    "edge": vocabulary.Edges,
    "side": vocabulary.Edges,
    "face": get_args(standing.Face),
    "surface": vocabulary.Surface,
    "station": vocabulary.Station,
    "status": vocabulary.SkiStatus,
    "status_reason": vocabulary.StatusReason,
    "finding": bench_words.FindingKind,
    "operation": bench_words.Operation,
    "severity": vocabulary.Severity,
    "finding_state": vocabulary.FindingState,
    "repair_method": vocabulary.RepairMethod,
    "wax_class": vocabulary.WaxClass,
    "inspected_as": vocabulary.InspectedAs,
    "inspection": vocabulary.Outcome,
    "moment": vocabulary.Moment,
    "basis": vocabulary.Basis,
    "not_measured": vocabulary.NotMeasured,
    "quantity": quantities.Quantity,
    "plane_operation": get_args(plan_request.PlaneOperation),
    "record_kind": KINDS,
    "record_state": [*folding.State, "erased"],
    "ignored_reason": folding.IgnoredReason,
    "correction_reason": vocabulary.CorrectionReason,
    "retraction_reason": vocabulary.RetractionReason,
    "dispute_reason": exchange_words.DisputeReason,
    "erasure_reason": exchange_words.ErasureReason,
    "same_ski_evidence": exchange_words.SameSkiEvidence,
    "distinct_ski_evidence": exchange_words.DistinctSkiEvidence,
    "link_standing": LinkStanding,
    "links": ("none", "mutual", "all"),
    "rank": RANKS,
    "key_holder": exchange_words.KeyHolder,
    "key_end_reason": exchange_words.KeyEndReason,
    "signature_reason": signing.SignatureReason,
    "role": [*ROLES, "operator"],
    "scope": Scope,
    "standing": get_args(standing.Standing),
    "sureness": get_args(figures.Sureness),
    "figure_basis": get_args(figures.FigureBasis),
    "confidence": get_args(figures.Confidence),
    "taken_basis": get_args(plan_amounts.TakenBasis),
    "shape": get_args(flatness.Shape),
    "conformity": get_args(conformity_checks.CheckOutcome),
    "verdict": get_args(plan_verdict.Outcome),
    "togetherness": get_args(pairs_difference.Togetherness),
    "material": get_args(history.MaterialQuantity),
    "pair_quantity": get_args(pairs_difference.PairQuantity),
    "option": get_args(plan_options.OptionCode),
    "warning": get_args(history_warning.PlausibilityCode),
    "due_reason": get_args(ReasonCode),
    "need": get_args(ground_plane.Need),
    "governor": get_args(ground_plane.Governor),
    "caution": [*cautions.CAUTIONS, *IRON],
}


def test_every_list_is_held_against_its_source() -> None:
    assert set(WORDS) == set(MEMBERS)


@pytest.mark.parametrize("kind", MEMBERS)
def test_every_member_has_a_word(kind: str) -> None:
    assert set(WORDS[kind]) == {str(member) for member in MEMBERS[kind]}


@pytest.mark.parametrize("language", ["en", "de", "fr"])
def test_words_of_one_list_differ(language: str) -> None:
    with translation.override(language):
        for kind in WORDS:
            shown = [label for _, label in choices(kind)]
            assert len(set(shown)) == len(shown), kind


def test_the_words_follow_the_visitor() -> None:
    with translation.override("de"):
        assert word("operation", "stone_grind") == "Steinschliff"
    with translation.override("fr"):
        assert word("edge", "left") == "carre gauche"


def test_choices_keep_the_order_of_the_list() -> None:
    assert choices("severity") == [
        ("slight", "slight"),
        ("moderate", "moderate"),
        ("severe", "severe"),
    ]


@pytest.mark.parametrize(("kind", "value"), [("edge", "middle"), ("colour", "left")])
def test_an_unknown_word_is_refused(kind: str, value: str) -> None:
    with pytest.raises(UnknownWord, match=value):
        word(kind, value)


def test_an_unknown_list_has_no_choices() -> None:
    with pytest.raises(UnknownWord, match="colour"):
        choices("colour")


@pytest.mark.parametrize(
    ("value", "shown"), [("gouge", "gouge"), (bench_words.FindingKind.RUST, "rust"), (None, "")]
)
def test_a_template_writes_a_word(value: str | None, shown: str) -> None:
    written = Template('{% load words %}{{ value|word:"finding" }}').render(
        Context({"value": value})
    )
    assert written == shown
