"""Makes the texts printed on a ski comparable, and says how like two of them are.

Benches write one model in many ways. Long words may be misspelt, so they are compared loosely;
short signs and numbers ("GS", "84") tell one model from the next, so they must agree.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass

from rapidfuzz import fuzz

LEAST_TEXT_LIKENESS = 0.72
"""Below this two model texts are of two models; practice."""
SIGN_MISSING, SIGNS_DIFFER = 0.85, 0.5
SHORT = 3
MOST_CHARACTERS = 120

_PIECES = re.compile(r"[^\W\d_]+|\d+")
# A length or year written beside the model says nothing of the model.
_LENGTH = re.compile(r"(?<![\w])\d{2,4}\s*(?:cm|mm)(?!\w)")
_YEAR = re.compile(r"(?:19|20)\d\d")
_EMPTY_WORDS = frozenset({"ski", "skis"})


@dataclass(frozen=True, slots=True)
class ModelText:
    """Maker and model of a ski, made comparable.

    ``maker`` and ``model`` are lower-case pieces of letters or digits with one blank between
    them; "" where nobody said.
    """

    maker: str
    model: str

    @property
    def key(self) -> str:
        """Both as one text; the slash stands in neither."""
        return f"{self.maker}/{self.model}"

    @classmethod
    def of_key(cls, key: str) -> ModelText:
        """Take a key apart again."""
        maker, _, model = key.partition("/")
        return cls(maker, model)


def model_text(maker: str | None, model: str | None) -> ModelText:
    """Make the texts of a description comparable.

    Parameters
    ----------
    maker, model : str or None
        As printed on the ski.

    Returns
    -------
    ModelText
        Without accents, capitals, marks, lengths, years and the word "ski"; the maker's words
        are taken out of the model unless nothing else is left of it.
    """
    made_by = _pieces(maker or "")
    named = _pieces(model or "")
    without = [piece for piece in named if piece not in made_by]
    return ModelText(_joined(made_by), _joined(without or named))


def _pieces(text: str) -> list[str]:
    plain = unicodedata.normalize("NFKD", text).casefold()
    bare = "".join(c for c in plain if not unicodedata.combining(c))
    found = _PIECES.findall(_LENGTH.sub(" ", bare))
    return [one for one in found if one not in _EMPTY_WORDS and not _YEAR.fullmatch(one)]


def _joined(pieces: list[str]) -> str:
    return " ".join(pieces)[:MOST_CHARACTERS].rstrip()


def search_keys(text: ModelText) -> frozenset[str]:
    """Keys by which texts that may be like this one are found in an index.

    Parameters
    ----------
    text : ModelText
        The text.

    Returns
    -------
    frozenset of str
        Beginning and end of each long word, so that one slip leaves one of the two, and every
        short sign; empty without a model.
    """
    return frozenset(_keys(text.model))


def _keys(model: str) -> Iterator[str]:
    for piece in model.split():
        if is_sign(piece):
            yield piece
        else:
            yield f"{piece[:SHORT]}-"
            yield f"-{piece[-SHORT:]}"


def is_sign(piece: str) -> bool:
    """Say whether a piece is a number or so short that it tells models apart."""
    return piece.isdigit() or len(piece) <= SHORT


def model_likeness(first: ModelText, second: ModelText) -> float:
    """How like two model texts are.

    Parameters
    ----------
    first, second : ModelText
        The maker of either is taken out of both models, since one bench writes it there and
        another in a field of its own.

    Returns
    -------
    float
        0 to 1: likeness of the long words times 1, 0.85 or 0.5 for signs that agree, that one
        of the two lacks, or that differ. 0 without a model.

    Notes
    -----
    Source: the long words by RapidFuzz, the mean of `token_sort_ratio` (normalised Indel
    similarity of the sorted words) and `token_set_ratio`; the factors are practice.
    """
    makers = {*first.maker.split(), *second.maker.split()}
    one, other = _without(first.model, makers), _without(second.model, makers)
    if not one or not other:
        return 0.0
    return _words_likeness(_words(one), _words(other)) * _signs_factor(_signs(one), _signs(other))


def maker_likeness(first: ModelText, second: ModelText) -> float:
    """How like two makers are, 0 to 1; both must be known.

    Notes
    -----
    Source: RapidFuzz, `ratio` (normalised Indel similarity).
    """
    return float(fuzz.ratio(first.maker, second.maker)) / 100.0


def _without(model: str, makers: set[str]) -> list[str]:
    pieces = model.split()
    return [piece for piece in pieces if piece not in makers] or pieces


def _words(pieces: list[str]) -> str:
    return " ".join(piece for piece in pieces if not is_sign(piece))


def _signs(pieces: list[str]) -> set[str]:
    return {piece for piece in pieces if is_sign(piece)}


def _words_likeness(first: str, second: str) -> float:
    # RapidFuzz gives two empty texts 100 by one rule and 0 by the other.
    if not first or not second:
        return float(first == second)
    sorted_words = float(fuzz.token_sort_ratio(first, second))
    return (sorted_words + float(fuzz.token_set_ratio(first, second))) / 200.0


def _signs_factor(first: set[str], second: set[str]) -> float:
    if first == second:
        return 1.0
    return SIGNS_DIFFER if first - second and second - first else SIGN_MISSING
