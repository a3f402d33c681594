"""Whether a history contradicts itself: each doubt with a code, its records and how sure it is."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from itertools import chain

from apps.tuning.bevel_checks import bevel_warnings
from apps.tuning.history import Visit
from apps.tuning.history_warning import HistoryWarning, PlausibilityCode
from apps.tuning.practice import Practice
from apps.tuning.reading_checks import reading_warnings
from apps.tuning.record_checks import record_warnings

__all__ = ["HistoryWarning", "PlausibilityCode", "warnings_of"]


def warnings_of(
    ordered: Sequence[Visit], *, practice: Practice, today: date
) -> tuple[HistoryWarning, ...]:
    """Everything in a history that can't all be true, or hardly.

    Parameters
    ----------
    ordered : sequence of Visit
        As `apps.tuning.history.in_order` gives them.
    practice : Practice
        Stands in for unstated uncertainties and removals; says how long a silence is remarked on.
    today : date
        The day it is now.

    Returns
    -------
    tuple of HistoryWarning
        By code, then by record; each once.
    """
    found = chain(
        record_warnings(ordered, practice, today),
        reading_warnings(ordered, practice),
        bevel_warnings(ordered, practice),
    )
    return tuple(sorted(dict.fromkeys(found), key=lambda one: (one.code, one.rests_on)))
