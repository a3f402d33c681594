"""One bevel of one edge followed through time: what was stated, and what work did to it since."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from typing import Literal

from apps.tuning.edge_estimates import facet_after_grind_estimate
from apps.tuning.edge_steel import LEAST_BASE_BEVEL_DEG
from apps.tuning.effects import effect_of
from apps.tuning.history import BevelStatement, Edge, Step, Visit
from apps.tuning.practice import Practice
from apps.tuning.series import READING_STEP_MM
from apps.tuning.standing import DoubtfulPlace, Face, Standing, StatedBevel
from apps.tuning.timeline import Timed
from apps.tuning.uncertainty import Estimate, rectangular_standard, standard_from_expanded

Span = tuple[int, int] | None
"""Range along the ski [mm from the tail]; None for the whole edge."""

Touch = Literal["ground", "worked", "replaced"]


@dataclass(frozen=True, slots=True)
class Mark:
    """A record that did something to a bevel."""

    record: str
    day: date


@dataclass(frozen=True, slots=True)
class Facet:
    """Width of a base facet right after it was stated."""

    width: Estimate
    assumed: bool
    records: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Grind:
    """A flat grind of known depth."""

    depth_mm: float
    mark: Mark


@dataclass(frozen=True, slots=True)
class Track:
    """What is known of one bevel after the records read so far.

    Attributes
    ----------
    edge, face, span
        Which bevel.
    stated : StatedBevel or None
        Last set or measured.
    facet : Facet or None
        Its facet; None for a side, and for a base bevel of 0, which has none.
    grinds : tuple of Grind
        Flat grinds of known depth since.
    unknown : Mark or None
        First record since that worked it to an unknown depth or bevel.
    replaced : Mark or None
        Replacement of the edge since; nothing older speaks of it.
    doubts : tuple of DoubtfulPlace
        Places worked on their own since.
    """

    edge: Edge
    face: Face
    span: Span = None
    stated: StatedBevel | None = None
    facet: Facet | None = None
    grinds: tuple[Grind, ...] = ()
    unknown: Mark | None = None
    replaced: Mark | None = None
    doubts: tuple[DoubtfulPlace, ...] = ()

    @property
    def depth_mm(self) -> float:
        """Known depth ground off since [mm]; several grinds add up."""
        return sum(grind.depth_mm for grind in self.grinds)

    def facet_margin(self, grinds: tuple[Grind, ...] | None = None) -> Estimate | None:
        """Facet width left, negative by what the grinds went past it; None without a facet."""
        chosen = self.grinds if grinds is None else grinds
        if self.facet is None or self.stated is None:
            return None
        if not chosen:
            return self.facet.width
        depth = sum(grind.depth_mm for grind in chosen)
        unsure = rectangular_standard(READING_STEP_MM) * len(chosen) ** 0.5
        return facet_after_grind_estimate(
            self.facet.width, bevel_estimate(self.stated), Estimate(depth, unsure)
        ).margin

    def finished_by(self) -> Grind | None:
        """The grind that surely left nothing of the facet, if one did."""
        return self._first_with(_surely_gone)

    def doubtful_by(self) -> Grind | None:
        """The grind that may have left nothing of the facet, if one did."""
        return self._first_with(_perhaps_gone)

    def _first_with(self, holds: Callable[[Estimate], bool]) -> Grind | None:
        if self.depth_mm == 0.0:
            return None
        for number, grind in enumerate(self.grinds, start=1):
            margin = self.facet_margin(self.grinds[:number])
            if margin is not None and holds(margin):
                return grind
        return None

    @property
    def standing(self) -> Standing:
        """Whether it stands; a known grind through the facet outweighs an unknown depth.

        Notes
        -----
        Source: the three zones of ISO 14253-1:2017, with the margin's expanded uncertainty.
        """
        if self.finished_by() is not None:
            return "ground_away"
        if self.unknown is not None or self.doubtful_by() is not None:
            return "uncertain"
        if self.stated is None:
            return "never_stated"
        return "partly_ground_away" if self.facet and self.depth_mm > 0.0 else "stands"


def _surely_gone(margin: Estimate) -> bool:
    return margin.value + margin.expanded() <= 0.0


def _perhaps_gone(margin: Estimate) -> bool:
    return margin.value - margin.expanded() <= 0.0


def bevel_estimate(stated: StatedBevel) -> Estimate:
    """A stated bevel [deg] with its standard uncertainty."""
    return Estimate(stated.bevel_deg, standard_from_expanded(stated.expanded_uncertainty_deg))


def bevel_of(statement: BevelStatement, face: Face) -> float | None:
    """What a statement says of one face [deg], None where it says nothing of it."""
    return statement.base_bevel_deg if face == "base" else statement.side_bevel_deg


def span_of(statement: BevelStatement) -> Span:
    """The range a statement speaks of."""
    if statement.station_from_mm is None or statement.station_to_mm is None:
        return None
    return (statement.station_from_mm, statement.station_to_mm)


def covers(span: Span, other: Span) -> bool:
    """Whether a range holds all of another."""
    if span is None:
        return True
    return other is not None and span[0] <= other[0] and other[1] <= span[1]


def touch_of(step: Step, face: Face) -> Touch | None:
    """What a step does to one face, None if nothing."""
    effect = effect_of(step.operation)
    if effect.new_edge:
        return "replaced"
    if effect.base_facet if face == "base" else effect.side:
        return "worked"
    return "ground" if effect.base_plane and face == "base" else None


def stated_bevel(
    visit: Visit, statement: BevelStatement, bevel_deg: float, practice: Practice
) -> StatedBevel:
    """A statement about one face, with the shop's uncertainty where it gives none."""
    given = statement.uncertainty_deg
    return StatedBevel(
        bevel_deg,
        practice.bevel_uncertainty_deg if given is None else given,
        given is None,
        statement.basis,
        visit.record,
        visit.day,
        statement.instrument,
        statement.station_from_mm,
        statement.station_to_mm,
    )


def restate(
    track: Track, one: Timed[BevelStatement], stated: StatedBevel, practice: Practice
) -> Track:
    """The track after a bevel was set or measured: older work no longer counts against it."""
    facet = None
    if track.face == "base" and stated.bevel_deg >= LEAST_BASE_BEVEL_DEG:
        facet = _facet(track, one, practice)
    return Track(track.edge, track.face, track.span, stated=stated, facet=facet)


def ground(track: Track, one: Timed[Step], depth_mm: float | None) -> Track:
    """The track after a flat grind, of unknown depth if None."""
    if track.stated is None or (track.facet is None):
        # A side, an edge that lies in the base plane already, and a bevel nobody stated.
        return track
    mark = Mark(one.visit.record, one.visit.day)
    if depth_mm is None:
        return replace(track, unknown=track.unknown or mark)
    return replace(track, grinds=(*track.grinds, Grind(depth_mm, mark)))


def worked(track: Track, one: Timed[Step]) -> Track:
    """The track after its face was worked to a bevel that this far nobody stated."""
    mark = Mark(one.visit.record, one.visit.day)
    return Track(track.edge, track.face, track.span, stated=track.stated, unknown=mark)


def renewed(track: Track, one: Timed[Step]) -> Track:
    """The track of the same edge after it was replaced by a new one."""
    return Track(track.edge, track.face, replaced=Mark(one.visit.record, one.visit.day))


def doubted(track: Track, one: Timed[Step]) -> Track:
    """The track after work at one place, which says nothing of the rest of it."""
    doubt = DoubtfulPlace(one.item.place, one.visit.record)
    return replace(track, doubts=(*track.doubts, doubt))


def _facet(track: Track, one: Timed[BevelStatement], practice: Practice) -> Facet:
    width = one.item.facet_width_mm
    records = (one.visit.record,)
    if width is not None:
        unsure = standard_from_expanded(practice.reading_uncertainty_mm)
        return Facet(Estimate(width, unsure), assumed=False, records=records)
    unsure = standard_from_expanded(practice.facet_width_uncertainty_mm)
    usual = Facet(Estimate(practice.facet_width_mm, unsure), assumed=True, records=records)
    # Measuring a bevel doesn't change the facet that was there already.
    return _kept_facet(track, usual) if one.item.basis == "measured" else usual


def _kept_facet(track: Track, usual: Facet) -> Facet:
    """The facet that was there already, or what may be left of it; the usual one without."""
    margin = track.facet_margin()
    if track.facet is None or margin is None or track.standing == "ground_away":
        return usual
    records = (*track.facet.records, *(grind.mark.record for grind in track.grinds))
    if track.standing != "uncertain":
        return Facet(margin, track.facet.assumed, records)
    most = margin.value + margin.expanded()
    if usual.width.value + usual.width.expanded() <= most:
        return usual
    # Grinding makes no facet wider, so between nothing and the old one it may be anything.
    return Facet(_from_nothing_to(most), assumed=True, records=(*records, *usual.records))


def _from_nothing_to(most: float) -> Estimate:
    return Estimate(most / 2.0, standard_from_expanded(most / 2.0))
