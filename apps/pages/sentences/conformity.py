"""Whether a finished tune met its target."""

from __future__ import annotations

from collections.abc import Callable

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from apps.pages.numbers import Unit, degrees, length
from apps.pages.sentences.shown import AMOUNT_PLACES, day_words, place_words
from apps.pages.sentences.templates import Templates, filled
from apps.tuning.conformity_checks import BevelCheck, CheckOutcome, FlatnessCheck, JobConformity

JOB: Templates = {
    "pass": gettext_lazy("The tune of %(day)s meets its target in all it asks for."),
    "fail": gettext_lazy("The tune of %(day)s misses its target."),
    "undecided": gettext_lazy("The tune of %(day)s may meet its target or not."),
    "unmeasured": gettext_lazy("The tune of %(day)s was not measured in all it asks for."),
}
BEVEL: Templates = {
    "pass": gettext_lazy(
        "%(where)s: measured as %(measured)s (± %(spread)s), which meets the target of %(target)s."
    ),
    "fail": gettext_lazy(
        "%(where)s: measured as %(measured)s (± %(spread)s), which misses the target of %(target)s."
    ),
    "undecided": gettext_lazy(
        "%(where)s: measured as %(measured)s (± %(spread)s), which may meet the target of "
        "%(target)s or not."
    ),
    "unmeasured": gettext_lazy("%(where)s: not measured after the work."),
}
FLATNESS: Templates = {
    "pass": gettext_lazy(
        "Base: straight within %(measured)s (± %(spread)s), which meets the target of %(target)s."
    ),
    "fail": gettext_lazy(
        "Base: straight within %(measured)s (± %(spread)s), which misses the target of %(target)s."
    ),
    "undecided": gettext_lazy(
        "Base: straight within %(measured)s (± %(spread)s), which may meet the target of "
        "%(target)s or not."
    ),
}


def conformity_sentence(job: JobConformity) -> str:
    """Tell whether the whole tune met its target; the checks follow one by one."""
    return filled(JOB[job.outcome], {"day": day_words(job.day)})


def bevel_check_sentence(check: BevelCheck) -> str:
    """Tell whether one bevel met its target, and what gauge would decide."""
    told = filled(
        BEVEL[check.outcome],
        {
            "where": place_words({"face": check.face, "edge": check.edge}),
            "measured": degrees(check.measured_deg or 0.0),
            "spread": degrees(check.expanded_uncertainty_deg or 0.0),
            "target": degrees(check.target_deg),
        },
    )
    return _with_mend(told, check.outcome, check.deciding_uncertainty_deg, 2, degrees)


def flatness_check_sentence(check: FlatnessCheck, unit: Unit = "mm") -> str:
    """Tell whether the base is as flat as the target asks, and what gauge would decide."""

    def shown(value_mm: float) -> str:
        return length(value_mm, unit, AMOUNT_PLACES)

    measured = check.straightness
    if measured is None and check.place is None:
        return _("Base: nobody laid a true bar on it after the work, so its flatness is unproved.")
    if measured is None:
        return _("Base: the profile taken after the work can't be read.")
    told = filled(
        FLATNESS[check.outcome],
        {
            "measured": shown(measured.value_mm),
            "spread": shown(measured.expanded_uncertainty_mm),
            "target": shown(check.upper_mm),
        },
    )
    return _with_mend(told, check.outcome, check.deciding_uncertainty_mm, AMOUNT_PLACES, shown)


def _with_mend(
    told: str,
    outcome: CheckOutcome,
    deciding: float | None,
    places: int,
    write: Callable[[float], str],
) -> str:
    if outcome != "undecided":
        return told
    # Rounded down: a gauge as sure as the number shown has to decide.
    least = int((deciding or 0.0) * 10**places) / 10**places
    if least == 0.0:
        return f"{told} {_('No gauge would decide: the reading lies too near the limit.')}"
    mend = _("A gauge sure within %(spread)s (k = 2) would decide.") % {"spread": write(least)}
    return f"{told} {mend}"
