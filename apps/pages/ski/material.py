"""Steel and base left: each place that was measured, what nobody measured, and the outlook."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import get_args

from django.utils.functional import Promise
from django.utils.text import capfirst
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from apps.pages.numbers import Unit, between, length
from apps.pages.pictures.material_chart import NO_LAST_DAY, GoneEdge, material_chart
from apps.pages.pictures.picture import Picture
from apps.pages.places import place_text
from apps.pages.sentences import unmeasured_sentence
from apps.pages.ski.names import Mention, Mentions
from apps.pages.ski.outlook import Outlooks, last_day_text, services_text
from apps.pages.words import word
from apps.tuning.condition import Condition
from apps.tuning.figures import FigureBasis, Length
from apps.tuning.history import MaterialQuantity, Place
from apps.tuning.material import MaterialLeft, ReplacedReadings, TakenOnRecord
from apps.tuning.series import SeriesKey
from apps.tuning.wear_ski import LastDay

QUANTITIES: tuple[MaterialQuantity, ...] = get_args(MaterialQuantity)
BASES: Mapping[FigureBasis, Promise] = {
    "readings": gettext_lazy("by readings alone"),
    "practice": gettext_lazy("by practice alone"),
    "readings less practice": gettext_lazy("by readings, less what later work takes by practice"),
}


@dataclass(frozen=True, slots=True)
class Range:
    """A figure and its limits, written out."""

    value: str
    limits: str


@dataclass(frozen=True, slots=True)
class LeftShown:
    """Material left at one place.

    Parameters
    ----------
    name, where : str
        What it is of, and at which place; `where` is "" for readings that say none.
    left, reserve : Range
        Now, and above the shop's least.
    least : str
        The shop's least, which is practice.
    below_least : bool
        Whether the best estimate lies below it.
    basis : str
        What the figure rests on, in words.
    by_practice : bool
        Whether practice is part of it.
    services : str
        How many usual services it is good for, by the shop's rate.
    services_by_practice : bool
        Whether that rate is practice.
    last_day : str
        When the shop's least is reached; "" where that can't be said.
    rests_on : tuple of Mention
    readings : int
        How many readings there are.
    picture : Picture
    """

    name: str
    where: str
    left: Range
    reserve: Range
    least: str
    below_least: bool
    basis: str
    by_practice: bool
    services: str
    services_by_practice: bool
    last_day: str
    rests_on: tuple[Mention, ...]
    readings: int
    picture: Picture


@dataclass(frozen=True, slots=True)
class TakenShown:
    """What the work on record took of one thing, measured ski or not."""

    name: str
    steps: int
    stated: str
    unstated_steps: int
    by_practice: str


@dataclass(frozen=True, slots=True)
class GoneShown:
    """Readings of an edge that was replaced: shown, and used for nothing."""

    name: str
    where: str
    replaced: Mention | None
    readings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class UnmeasuredShown:
    """What nobody measured: its name, and why, with what to measure."""

    name: str
    sentence: str


@dataclass(frozen=True, slots=True)
class MaterialNow:
    """All that is known of steel and base.

    Parameters
    ----------
    left : tuple of LeftShown
    unmeasured : tuple of UnmeasuredShown
    taken : tuple of TakenShown
    gone : tuple of GoneShown
    """

    left: tuple[LeftShown, ...]
    unmeasured: tuple[UnmeasuredShown, ...]
    taken: tuple[TakenShown, ...]
    gone: tuple[GoneShown, ...]


def material_now(
    condition: Condition, outlooks: Outlooks, mentions: Mentions, unit: Unit
) -> MaterialNow:
    """Say how much steel and base is left, and how long it lasts."""
    material = condition.material
    showing = _Showing(condition, outlooks, mentions, unit)
    known = sorted(material.known, key=_left_beside_right)
    return MaterialNow(
        tuple(showing.left(f"left-{place}", one) for place, one in enumerate(known)),
        tuple(
            UnmeasuredShown(name_of(one.quantity, one.edge), unmeasured_sentence(one))
            for one in material.unknown
        ),
        tuple(showing.taken(one) for one in material.taken if one.steps),
        tuple(showing.gone(one) for one in material.replaced),
    )


def _left_beside_right(one: MaterialLeft) -> tuple[int, str, int, str]:
    place = one.position_mm if one.position_mm is not None else -1
    return QUANTITIES.index(one.quantity), one.station or "", place, one.edge or ""


def name_of(quantity: str, edge: str | None) -> str:
    """Name what was measured, with its edge."""
    what = capfirst(word("material", quantity))
    if edge is None:
        return what
    return _("%(what)s, %(edge)s") % {"what": what, "edge": word("edge", edge)}


def _place_of(one: MaterialLeft | ReplacedReadings) -> SeriesKey:
    return SeriesKey(one.quantity, one.edge, one.station, one.position_mm)


@dataclass(frozen=True, slots=True)
class _Showing:
    condition: Condition
    outlooks: Outlooks
    mentions: Mentions
    unit: Unit

    def left(self, name: str, one: MaterialLeft) -> LeftShown:
        last = self._last_day(one)
        return LeftShown(
            name=name_of(one.quantity, one.edge),
            where=place_text(Place(station=one.station, position_mm=one.position_mm)),
            left=self.range(one.left),
            reserve=self.range(one.reserve),
            least=length(one.least_mm, self.unit),
            below_least=one.reserve.value_mm < 0.0,
            basis=str(BASES[one.left.basis]),
            by_practice=one.left.basis != "readings",
            services=services_text(one.services),
            services_by_practice=one.services.rate.basis == "practice",
            last_day=last_day_text(last, self.condition.as_of),
            rests_on=self.mentions.each(one.left.rests_on),
            readings=len(one.readings),
            picture=self._chart(name, one, last),
        )

    def _last_day(self, one: MaterialLeft) -> LastDay:
        told = self.outlooks.get((one.quantity, one.edge))
        return NO_LAST_DAY if told is None else told.exhausted_on

    def _chart(self, name: str, one: MaterialLeft, last: LastDay) -> Picture:
        return material_chart(
            one,
            name=name,
            as_of=self.condition.as_of,
            last_day=last,
            gone=tuple(self._gone_edges(one)),
            unit=self.unit,
        )

    def _gone_edges(self, one: MaterialLeft) -> Iterator[GoneEdge]:
        place = _place_of(one)
        for replaced in self.condition.material.replaced:
            by = self.mentions.of(replaced.replaced_by)
            if _place_of(replaced) == place and by is not None:
                yield GoneEdge(replaced.readings, by.day)

    def range(self, figure: Length) -> Range:
        limits = between(figure.low_mm, figure.high_mm, self.unit)
        return Range(length(figure.value_mm, self.unit), limits)

    def taken(self, one: TakenOnRecord) -> TakenShown:
        return TakenShown(
            name_of(one.quantity, one.edge),
            one.steps,
            length(one.stated_mm, self.unit) if one.steps > one.unstated_steps else "",
            one.unstated_steps,
            between(one.low_mm, one.high_mm, self.unit),
        )

    def gone(self, one: ReplacedReadings) -> GoneShown:
        return GoneShown(
            name_of(one.quantity, one.edge),
            place_text(Place(station=one.station, position_mm=one.position_mm)),
            self.mentions.of(one.replaced_by),
            tuple(length(reading.value_mm, self.unit) for reading in one.readings),
        )
