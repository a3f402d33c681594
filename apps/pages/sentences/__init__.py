"""Whole sentences in the visitor's language, built from codes and figures.

Nothing here takes an English sentence apart. `sentence` tells whatever the arithmetic gives.
"""

from __future__ import annotations

from apps.pages.sentences.anything import sentence
from apps.pages.sentences.bevels import standing_sentence
from apps.pages.sentences.cautions import caution_sentence
from apps.pages.sentences.conformity import (
    bevel_check_sentence,
    conformity_sentence,
    flatness_check_sentence,
)
from apps.pages.sentences.due import due_reason_sentence
from apps.pages.sentences.material import unmeasured_sentence
from apps.pages.sentences.plan import (
    given_up_sentences,
    measure_sentence,
    option_sentence,
    pair_difference_sentence,
    pair_tune_sentences,
    plan_step_sentence,
    plan_warning_sentence,
    verdict_sentences,
    warning_sentence,
)
from apps.pages.sentences.shape import flatness_sentence, texture_sentence, twist_sentence
from apps.pages.sentences.told import UnknownCase, tell

__all__ = [
    "UnknownCase",
    "bevel_check_sentence",
    "caution_sentence",
    "conformity_sentence",
    "due_reason_sentence",
    "flatness_check_sentence",
    "flatness_sentence",
    "given_up_sentences",
    "measure_sentence",
    "option_sentence",
    "pair_difference_sentence",
    "pair_tune_sentences",
    "plan_step_sentence",
    "plan_warning_sentence",
    "sentence",
    "standing_sentence",
    "tell",
    "texture_sentence",
    "twist_sentence",
    "unmeasured_sentence",
    "verdict_sentences",
    "warning_sentence",
]
