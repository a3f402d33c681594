"""The sentence about anything the arithmetic gives, by what it is."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

from apps.pages.numbers import Unit
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
    measure_sentence,
    option_sentence,
    pair_difference_sentence,
    plan_step_sentence,
    plan_warning_sentence,
    warning_sentence,
)
from apps.pages.sentences.shape import flatness_sentence, texture_sentence, twist_sentence
from apps.pages.sentences.told import tell
from apps.registry.fleet_reasons import Reason
from apps.tuning.cautions import Caution
from apps.tuning.conformity_checks import BevelCheck, FlatnessCheck, JobConformity
from apps.tuning.flatness_now import FlatnessNow
from apps.tuning.history_warning import HistoryWarning
from apps.tuning.material import Unmeasured
from apps.tuning.pairs_difference import PairDifference
from apps.tuning.plan_options import PlanOption
from apps.tuning.plan_request import PlanWarning
from apps.tuning.plan_steps import PlanStep
from apps.tuning.plan_verdict import Measure
from apps.tuning.standing import BevelNow
from apps.tuning.texture_now import TextureNow
from apps.tuning.told import Sentence
from apps.tuning.twist_now import TwistNow

BY_UNIT: Mapping[type, Callable[[Any, Unit], str]] = MappingProxyType(
    {
        BevelNow: standing_sentence,
        FlatnessCheck: flatness_check_sentence,
        FlatnessNow: flatness_sentence,
        HistoryWarning: warning_sentence,
        Measure: measure_sentence,
        PairDifference: pair_difference_sentence,
        PlanOption: option_sentence,
        PlanStep: plan_step_sentence,
        PlanWarning: plan_warning_sentence,
        Sentence: tell,
    }
)
WITHOUT_LENGTHS: Mapping[type, Callable[[Any], str]] = MappingProxyType(
    {
        BevelCheck: bevel_check_sentence,
        Caution: lambda caution: caution_sentence(caution.code),
        JobConformity: conformity_sentence,
        Reason: due_reason_sentence,
        TextureNow: texture_sentence,
        TwistNow: twist_sentence,
        Unmeasured: unmeasured_sentence,
    }
)


def sentence(one: object, unit: Unit = "mm") -> str:
    """Tell something that the arithmetic gave.

    Parameters
    ----------
    one : object
        A bevel now, a doubt, a step of a plan, a caution and so on.
    unit : {"mm", "um"}
        In which small lengths are shown.

    Raises
    ------
    TypeError
        If nothing is known to be told of it.
    """
    kind = type(one)
    if kind in BY_UNIT:
        return BY_UNIT[kind](one, unit)
    if kind in WITHOUT_LENGTHS:
        return WITHOUT_LENGTHS[kind](one)
    raise TypeError(f"No sentence tells a {kind.__name__}.")
