"""A place where a history contradicts itself: a code, the records it rests on, how sure it is."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from apps.tuning.figures import Sureness
from apps.tuning.told import Sentence

PlausibilityCode = Literal[
    "steel-grew",
    "base-grew",
    "base-bevel-closed-without-grind",
    "dated-in-future",
    "out-of-order",
    "order-unknown",
    "double-entry",
    "gauges-disagree",
    "long-gap",
    "several-corrections",
    "set-and-measured-disagree",
    "work-after-retired",
    "removed-more-than-measured",
]


@dataclass(frozen=True, slots=True)
class HistoryWarning:
    """One thing in a history that can't all be true, or hardly.

    Attributes
    ----------
    code : str
        Stable name.
    sureness : {"certain", "likely", "possible"}
        How sure the contradiction is.
    sentence : Sentence
        Whole sentence for a person, with its figures.
    rests_on : tuple of str
        Ids of the records that contradict each other, in order of time.
    """

    code: PlausibilityCode
    sureness: Sureness
    sentence: Sentence
    rests_on: tuple[str, ...]


SURER_BY = 1.5
"""At one and a half times a limit of k = 2 the coverage factor is 3."""


def sureness_of(excess: float, *, assumed: bool) -> Sureness:
    """How sure it is that two readings contradict each other.

    Parameters
    ----------
    excess : float
        Their difference over the limit (k = 2) that their uncertainties explain [1], above 1.
    assumed : bool
        Whether practice stands in for the uncertainty of one of them.

    Returns
    -------
    {"certain", "likely", "possible"}
        One word less sure where an uncertainty was assumed.

    Notes
    -----
    Source: JCGM 100:2008, 6.3.3 for k of 2 and 3; the words are practice.
    """
    beyond = excess > SURER_BY
    if assumed:
        return "likely" if beyond else "possible"
    return "certain" if beyond else "likely"
