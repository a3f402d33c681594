"""A sentence that keeps the figures it was written from, to be told in another language."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from types import MappingProxyType

Figure = str | int | float | date | None


class Sentence(str):
    """An English sentence for a person, with its case and its figures.

    Attributes
    ----------
    case : str
        Stable name of what is told; one case is always told with the same figures.
    figures : mapping of str to Figure
        What the sentence was written from, unrounded, each name with its unit; None where the
        sentence leaves something out.
    """

    case: str
    figures: Mapping[str, Figure]


def told(case: str, sentence: str, **figures: Figure) -> Sentence:
    """Write a sentence down with what it was made of.

    Parameters
    ----------
    case : str
        Name of what is told.
    sentence : str
        In English.
    **figures : Figure
        By names that carry their units.

    Returns
    -------
    Sentence
        Equal to the sentence alone, as a text is.
    """
    made = Sentence(sentence)
    made.case = case
    made.figures = MappingProxyType(figures)
    return made
