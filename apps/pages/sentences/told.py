"""Sentences of the bench arithmetic told anew from their case and their figures."""

from __future__ import annotations

from types import MappingProxyType

from apps.pages.numbers import Unit
from apps.pages.sentences.history import HISTORY
from apps.pages.sentences.pairs import PAIRS
from apps.pages.sentences.plan_steps import STEPS
from apps.pages.sentences.plan_verdict import VERDICT
from apps.pages.sentences.plan_ways import WAYS
from apps.pages.sentences.shown import shown
from apps.pages.sentences.templates import Templates, filled
from apps.tuning.told import Sentence

CASES: Templates = MappingProxyType({**HISTORY, **VERDICT, **STEPS, **WAYS, **PAIRS})
"""The sentence of every case, with placeholders."""


class UnknownCase(LookupError):
    """A case of the arithmetic that no sentence of the pages tells."""


def tell(told: Sentence, unit: Unit = "mm") -> str:
    """Tell a sentence of the arithmetic in the visitor's language.

    Parameters
    ----------
    told : Sentence
        The English sentence with its case and its figures.
    unit : {"mm", "um"}
        In which small lengths are shown.

    Returns
    -------
    str
        A whole sentence, or several.

    Raises
    ------
    UnknownCase
        If no sentence tells that case.
    """
    try:
        template = CASES[told.case]
    except KeyError:
        raise UnknownCase(f"No sentence tells {told.case!r}.") from None
    return filled(template, shown(told.figures, unit))
