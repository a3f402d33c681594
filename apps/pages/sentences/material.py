"""What nobody measured, and what to do about it."""

from __future__ import annotations

from django.utils.translation import gettext as _

from apps.pages.sentences.shown import place_words
from apps.pages.sentences.templates import filled
from apps.tuning.material import Unmeasured


def unmeasured_sentence(unknown: Unmeasured) -> str:
    """Tell what nobody measured, or not since the edge was replaced, and how to measure it."""
    told = _(
        "%(where)s: nobody measured it. Measure at a place that can be found again, and state the "
        "uncertainty."
    )
    if unknown.since is not None:
        told = _(
            "%(where)s: nobody measured it since the edge was replaced. Measure at a place that "
            "can be found again, and state the uncertainty."
        )
    return filled(
        told, {"where": place_words({"material": unknown.quantity, "edge": unknown.edge})}
    )
