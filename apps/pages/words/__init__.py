"""Every closed list of words as a visitor reads it, in the visitor's language."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from apps.pages.words.bench import BENCH_WORDS
from apps.pages.words.reckoning import RECKONING_WORDS
from apps.pages.words.records import RECORDS_WORDS
from apps.pages.words.ski import SKI_WORDS
from apps.pages.words.tables import Table

__all__ = ["WORDS", "UnknownWord", "choices", "word"]

WORDS: Mapping[str, Table] = MappingProxyType(
    {**SKI_WORDS, **BENCH_WORDS, **RECORDS_WORDS, **RECKONING_WORDS}
)
"""The tables by kind."""


class UnknownWord(LookupError):
    """A kind without a table, or a value that its table doesn't hold."""


def word(kind: str, value: str) -> str:
    """Give a word of a closed list in the visitor's language.

    Parameters
    ----------
    kind : str
        Name of the list: "operation", "finding", "standing" and so on.
    value : str
        The word as records and arithmetic write it.

    Returns
    -------
    str
        Lower-case where the language writes it so; a heading capitalises it.

    Raises
    ------
    UnknownWord
        If there is no such list or no such word in it.
    """
    try:
        return str(WORDS[kind][str(value)])
    except KeyError:
        raise UnknownWord(f"No word for {value!r} of {kind!r}.") from None


def choices(kind: str) -> list[tuple[str, str]]:
    """Give all words of a list as a form's choices, in the order of the list."""
    if kind not in WORDS:
        raise UnknownWord(f"No list of words called {kind!r}.")
    return [(value, str(shown)) for value, shown in WORDS[kind].items()]
