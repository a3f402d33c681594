"""A pair of skis: compared, and brought together again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from apps.tuning.pairs_compare import PairedSki, compare_pair, outcome_of
from apps.tuning.pairs_difference import PairDifference, Togetherness
from apps.tuning.pairs_tune import PairTune, tune_pair
from apps.tuning.practice import Practice
from apps.tuning.rates import LearnedRate
from apps.tuning.told import Sentence, told

MATERIAL = ("edge_height", "edge_width", "base_thickness")


@dataclass(frozen=True, slots=True)
class PairNow:
    """The two skis of a pair now.

    Attributes
    ----------
    outcome : {"together", "apart", "undecided"}
        Of the pair as a whole: apart as soon as one thing is.
    differences : tuple of PairDifference
        Everything compared.
    tune : PairTune or None
        What brings the bevels that are apart together; None where none is.
    measure_first : tuple of Sentence
        What would decide what is undecided, each a sentence.
    remarks : tuple of Sentence
        What no tune can mend, each a sentence.
    """

    outcome: Togetherness
    differences: tuple[PairDifference, ...]
    tune: PairTune | None
    measure_first: tuple[Sentence, ...]
    remarks: tuple[Sentence, ...]


def pair_now(
    first: PairedSki,
    second: PairedSki,
    practice: Practice,
    learned: Iterable[LearnedRate] = (),
) -> PairNow:
    """Compare two skis and find the tune that brings them together for the least steel.

    Parameters
    ----------
    first, second : PairedSki
        The two.
    practice : Practice
        The shop's tolerances, usual bevels and its least of each material.
    learned : iterable of LearnedRate
        What operations take by the shop's readings.

    Returns
    -------
    PairNow
        The same for the same input, always.

    Notes
    -----
    Source: `compare_pair` and `tune_pair`. Material and shape that differ are told and not
    mended: steel that is gone can't be put back, and grinding the better ski down to the other
    would only make two worn skis.
    """
    differences = compare_pair(first, second, practice)
    return PairNow(
        outcome_of(differences),
        differences,
        tune_pair(first, second, differences, practice, learned),
        tuple(one.sentence for one in differences if one.outcome == "undecided"),
        tuple(_remarks(differences)),
    )


def _remarks(differences: Iterable[PairDifference]) -> Iterator[Sentence]:
    apart = [one.quantity for one in differences if one.outcome == "apart"]
    if any(quantity in MATERIAL for quantity in apart):
        yield told(
            "pair-spare-the-worn",
            "Steel and base that are gone can't be put back. Spare the worn ski: tune the other "
            "one only where it needs it.",
        )
    if "radius" in apart or "length" in apart:
        sentence = "Radius or length differ, so these may not be the two skis of one pair."
        yield told("pair-perhaps-none", sentence)
    if "days_in_use" in apart:
        sentence = "The days out differ: not always used together, or not all of them was reported."
        yield told("pair-days-differ", sentence)
