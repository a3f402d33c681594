"""A planned tune in sentences."""

from __future__ import annotations

from django.utils.translation import gettext as _

from apps.pages.numbers import Unit, length
from apps.pages.sentences.plan_verdict import OUTCOMES
from apps.pages.sentences.shown import AMOUNT_PLACES
from apps.pages.sentences.told import tell
from apps.tuning.history_warning import HistoryWarning
from apps.tuning.pairs_difference import PairDifference
from apps.tuning.pairs_tune import PairTune
from apps.tuning.plan_options import PlanOption
from apps.tuning.plan_request import PlanWarning
from apps.tuning.plan_steps import PlanStep
from apps.tuning.plan_verdict import Measure, Verdict


def warning_sentence(warning: HistoryWarning, unit: Unit = "mm") -> str:
    """Tell a doubt about a history."""
    return tell(warning.sentence, unit)


def plan_warning_sentence(warning: PlanWarning, unit: Unit = "mm") -> str:
    """Tell what to know before the work begins."""
    return tell(warning.message, unit)


def verdict_sentences(verdict: Verdict, unit: Unit = "mm") -> tuple[str, ...]:
    """Tell whether a plan can be carried out, then every reason, each once."""
    reasons = (tell(reason.message, unit) for reason in verdict.reasons)
    return tuple(dict.fromkeys([str(OUTCOMES[verdict.outcome]), *reasons]))


def measure_sentence(measure: Measure, unit: Unit = "mm") -> str:
    """Tell what to measure before the work begins."""
    return tell(measure.sentence, unit)


def plan_step_sentence(step: PlanStep, unit: Unit = "mm") -> str:
    """Tell what a step is for."""
    return tell(step.why, unit)


def option_sentence(option: PlanOption, unit: Unit = "mm") -> str:
    """Tell what a cheaper way does otherwise."""
    return tell(option.sentence, unit)


def given_up_sentences(option: PlanOption, unit: Unit = "mm") -> tuple[str, ...]:
    """Tell what the tune asked for has and a cheaper way hasn't; empty for the same end."""
    return tuple(tell(one, unit) for one in option.gives_up)


def pair_difference_sentence(difference: PairDifference, unit: Unit = "mm") -> str:
    """Tell how one thing differs on the two skis of a pair."""
    return tell(difference.sentence, unit)


def pair_tune_sentences(tune: PairTune, unit: Unit = "mm") -> tuple[str, ...]:
    """Tell what bringing a pair together takes, and whether enough is left for it."""
    steel = length(tune.cost.steel_usual_mm, unit, AMOUNT_PLACES)
    least = _("Of all that was tried this takes the least steel off both skis together: %(steel)s.")
    return least % {"steel": steel}, _enough(tune)


def _enough(tune: PairTune) -> str:
    outcomes = {one.name: one.verdict.outcome for one in (tune.first, tune.second)}
    for outcome, told in (
        ("not_feasible", _("It can't be carried out: %(ski)s would fall below the shop's least.")),
        ("undecided", _("Whether enough is left on %(ski)s has to be measured first.")),
    ):
        for ski, found in outcomes.items():
            if found == outcome:
                return told % {"ski": ski}
    return _("Both skis have enough left for it.")
