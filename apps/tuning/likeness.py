"""How like two skis are by what their descriptions say, and why: a score with named parts."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from apps.tuning.errors import WrongCountError
from apps.tuning.model_text import (
    LEAST_TEXT_LIKENESS,
    ModelText,
    maker_likeness,
    model_likeness,
)

PartName = Literal["model", "maker", "year", "length", "construction", "use", "waist"]
BandName = Literal["close", "near", "wide"]

METHOD = "likeness of the model texts times the weighted mean of the parts"
BANDS: tuple[tuple[BandName, float], ...] = (("close", 0.9), ("near", 0.75), ("wide", 0.6))
"""Least score of each band, the closest first; practice."""
WEIGHTS: Mapping[PartName, float] = MappingProxyType(
    {
        "model": 3.0,
        "maker": 1.0,
        "year": 1.5,
        "length": 1.5,
        "construction": 0.75,
        "use": 0.75,
        "waist": 1.0,
    }
)
"""How much each part counts; practice. A model that is plainly another counts nothing anyway."""
LIKE_TO_A_DEGREE = MappingProxyType({"year": 8.0, "length": 200.0, "waist": 15.0})
"""Difference [a, mm, mm] at which nothing is left of the likeness of a part; practice."""
SHOWN_STEPS = MappingProxyType({"year": 1, "length": 50, "waist": 5})
"""To what a difference is rounded up where several skis are summed up [a, mm, mm]."""
NOT_KNOWN = 0.5
LEAST_MAKER_LIKENESS = 0.7
OTHER = "other"
NEIGHBOURING_USES = frozenset(
    {
        frozenset({"race_slalom", "race_giant"}),
        frozenset({"piste", "rental"}),
        frozenset({"piste", "all_mountain"}),
        frozenset({"all_mountain", "touring"}),
    }
)


@dataclass(frozen=True, slots=True)
class SkiDescribed:
    """What descriptions say of a ski, as far as likeness goes by it; None is unknown.

    Lengths and widths in mm, the year as printed; ``construction`` and ``use`` are words of the
    schema.
    """

    text: ModelText
    year: int | None = None
    length_mm: int | None = None
    construction: str | None = None
    use: str | None = None
    waist_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Part:
    """One thing by which two skis were compared.

    Attributes
    ----------
    name : str
        What was compared.
    weight : float
        How much it counts.
    score : float
        0 to 1; a half where one of the two is not known.
    difference : float or None
        How far apart they are [a or mm]; None for words and where one is not known.
    known : bool
        Whether both are known.
    """

    name: PartName
    weight: float
    score: float
    difference: float | None = None
    known: bool = True

    @property
    def sentence(self) -> str:
        """The part in words."""
        return summed_up([self])


@dataclass(frozen=True, slots=True)
class Likeness:
    """How like two skis are, 0 to 1, and the parts that make it up."""

    score: float
    parts: tuple[Part, ...]

    @property
    def band(self) -> int | None:
        """Number of the closest band that it reaches, from 0; None when they are not alike."""
        reached = (number for number, (_, least) in enumerate(BANDS) if self.score >= least)
        return next(reached, None)

    @property
    def sentence(self) -> str:
        """The likeness in words."""
        return " ".join([f"Alike to {self.score:.2f}.", *(part.sentence for part in self.parts)])


def how_like(asked: SkiDescribed, other: SkiDescribed) -> Likeness:
    """Say how like another ski is to the one asked for, and why.

    Parameters
    ----------
    asked : SkiDescribed
        What is not known of it is not compared.
    other : SkiDescribed
        What is not known of it counts half.

    Returns
    -------
    Likeness
        Likeness of the model texts, times the weighted mean of the parts in which the model
        counts in full. 0 where the models, or the makers where both are known, are plainly two.

    Notes
    -----
    The weights, and the differences at which a part counts nothing, are practice.
    """
    model, *others = (_model(asked, other), *_maker(asked, other), *_others(asked, other))
    parts = (model, *others)
    if _plainly_two(parts):
        return Likeness(0.0, parts)
    total = model.weight + sum(part.weight * part.score for part in others)
    return Likeness(model.score * total / sum(part.weight for part in parts), parts)


def _plainly_two(parts: Iterable[Part]) -> bool:
    least = {"model": LEAST_TEXT_LIKENESS, "maker": LEAST_MAKER_LIKENESS}
    return any(part.known and part.score < least.get(part.name, 0.0) for part in parts)


def _part(name: PartName, score: float | None, difference: float | None = None) -> Part:
    if score is None:
        return Part(name, WEIGHTS[name], NOT_KNOWN, known=False)
    return Part(name, WEIGHTS[name], score, difference)


def _model(asked: SkiDescribed, other: SkiDescribed) -> Part:
    return _part("model", model_likeness(asked.text, other.text))


def _maker(asked: SkiDescribed, other: SkiDescribed) -> Iterable[Part]:
    if asked.text.maker:
        known = bool(other.text.maker)
        yield _part("maker", maker_likeness(asked.text, other.text) if known else None)


def _others(asked: SkiDescribed, other: SkiDescribed) -> Iterable[Part]:
    yield from _measured("year", asked.year, other.year)
    yield from _measured("length", asked.length_mm, other.length_mm)
    yield from _worded("construction", asked.construction, other.construction)
    yield from _worded("use", asked.use, other.use)
    yield from _measured("waist", asked.waist_mm, other.waist_mm)


def _measured(name: PartName, asked: float | None, other: float | None) -> Iterable[Part]:
    if asked is None:
        return
    if other is None:
        yield _part(name, None)
        return
    difference = abs(asked - other)
    yield _part(name, max(0.0, 1.0 - difference / LIKE_TO_A_DEGREE[name]), difference)


def _worded(name: PartName, asked: str | None, other: str | None) -> Iterable[Part]:
    # Two words `other` say nothing of each other, so they are as good as unknown.
    if asked in {None, OTHER}:
        return
    if other in {None, OTHER}:
        yield _part(name, None)
        return
    near = frozenset({asked, other}) in NEIGHBOURING_USES
    yield _part(name, 1.0 if asked == other else 0.5 * near)


def summed_up(parts: Sequence[Part]) -> str:
    """Say in one sentence how like several skis are in one part.

    Parameters
    ----------
    parts : sequence of Part
        The same part of one or more skis.

    Returns
    -------
    str
        The least likeness among them; a difference is rounded up to a coarse step.

    Raises
    ------
    WrongCountError
        If there is none.
    """
    if not parts:
        raise WrongCountError("parts is empty. Give at least one.", field="parts")
    known = [part for part in parts if part.known]
    name = parts[0].name.capitalize()
    if not known:
        return f"{name} not known."
    unknown = ", or not known" if len(known) < len(parts) else ""
    return f"{name} {_wording(known)(known)}{unknown}."


def _wording(parts: Sequence[Part]) -> Callable[[Sequence[Part]], str]:
    if parts[0].name in SHOWN_STEPS:
        return _apart
    return _alike if parts[0].name in {"model", "maker"} else _same


def _alike(parts: Sequence[Part]) -> str:
    least = min(part.score for part in parts)
    if least == 1:
        return "text the same"
    return f"text alike to {int(least * 20) / 20:.2f} or better"


def _apart(parts: Sequence[Part]) -> str:
    name = parts[0].name
    most = max(part.difference or 0.0 for part in parts)
    if most == 0:
        return "the same"
    step = SHOWN_STEPS[name]
    up = int(-(-most // step) * step)
    unit = "mm" if name != "year" else "year" if up == 1 else "years"
    return f"at most {up} {unit} apart"


def _same(parts: Sequence[Part]) -> str:
    least = min(part.score for part in parts)
    if least == 1:
        return "the same"
    return "the same or a neighbouring one" if least > 0 else "the same or another"


def why_like(likenesses: Sequence[Likeness]) -> tuple[str, ...]:
    """Say part by part how like several skis are to the one asked for.

    Parameters
    ----------
    likenesses : sequence of Likeness
        Of the same ski asked for, so that each has the same parts.

    Returns
    -------
    tuple of str
        A sentence for each part; empty without skis.
    """
    columns = zip(*(one.parts for one in likenesses), strict=True)
    return tuple(summed_up(column) for column in columns)
