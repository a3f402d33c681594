"""Which bevels still stand: what was set or measured, folded with the work that came after."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import chain

from apps.tuning.bevel_track import (
    Mark,
    Span,
    Touch,
    Track,
    bevel_of,
    covers,
    doubted,
    ground,
    renewed,
    restate,
    span_of,
    stated_bevel,
    touch_of,
    worked,
)
from apps.tuning.figures import Length, in_turn
from apps.tuning.history import BevelStatement, Edge, Place, Step, Visit
from apps.tuning.practice import Practice
from apps.tuning.standing import BevelNow, EdgeBevels, Face, StatedBevel
from apps.tuning.timeline import (
    Timed,
    is_narrowed,
    stated_removal_mm,
    timed_bevels,
    timed_steps,
    worked_edges,
)
from apps.tuning.uncertainty import Estimate

FACET_RECORDED = "facet as recorded"
FACET_ASSUMED = "facet assumed by practice"
FACET_GROUND = "facet after flat grind"

Event = Timed[Step] | Timed[BevelStatement]
Tracks = dict[Span, Track]


def bevels_of(ordered: Sequence[Visit], *, practice: Practice) -> tuple[EdgeBevels, EdgeBevels]:
    """Both bevels of both edges after a history.

    Parameters
    ----------
    ordered : sequence of Visit
        As `apps.tuning.history.in_order` gives them.
    practice : Practice
        Stands in for a facet nobody measured and for unstated uncertainties.

    Returns
    -------
    tuple of EdgeBevels
        Left and right.

    Notes
    -----
    Rules. A flat grind of depth g leaves a facet of ``w - g / tan(b)``, several grinds add up,
    and a bevel of 0 has no facet to lose. What a job sets, or measures other than before, holds
    at the end of that job. A step that works a face without such a statement leaves that bevel
    uncertain. Work at one place makes that place doubtful and leaves the rest as it was.
    """
    events: list[Event] = sorted(
        chain[Event](timed_steps(ordered), timed_bevels(ordered)), key=lambda one: one.when[:2]
    )
    return _edge("left", events, practice), _edge("right", events, practice)


def _edge(edge: Edge, events: Sequence[Event], practice: Practice) -> EdgeBevels:
    return EdgeBevels(
        edge,
        _face(edge, "base", events, practice),
        _face(edge, "side", events, practice),
        _specified(edge, "base", events, practice),
        _specified(edge, "side", events, practice),
    )


def _face(
    edge: Edge, face: Face, events: Iterable[Event], practice: Practice
) -> tuple[BevelNow, ...]:
    tracks: Tracks = {None: Track(edge, face)}
    for one in events:
        if isinstance(one.item, Step):
            tracks = _after_step(tracks, Timed(one.when, one.visit, one.item), edge, face)
        else:
            stated = Timed(one.when, one.visit, one.item)
            tracks = _after_statement(tracks, stated, edge, face, practice)
    return tuple(_bevel_now(tracks[span]) for span in sorted(tracks, key=lambda one: one or ()))


def _after_statement(
    tracks: Tracks, one: Timed[BevelStatement], edge: Edge, face: Face, practice: Practice
) -> Tracks:
    bevel_deg = bevel_of(one.item, face)
    if one.item.edge != edge or one.item.basis == "specified" or bevel_deg is None:
        return tracks
    span = span_of(one.item)
    # A range that is stated for the first time was until now a part of the whole edge.
    before = tracks.get(span, tracks[None])
    here = Track(edge, face, span, before.stated, before.facet, before.grinds, before.unknown)
    stated = stated_bevel(one.visit, one.item, bevel_deg, practice)
    kept = {old: track for old, track in tracks.items() if not covers(span, old)}
    return {**kept, span: restate(here, one, stated, practice)}


def _after_step(tracks: Tracks, one: Timed[Step], edge: Edge, face: Face) -> Tracks:
    touch = touch_of(one.item, face)
    if touch is None or edge not in worked_edges(one.item):
        return tracks
    if is_narrowed(one.item.place):
        return {
            span: _touched_in_part(track, one, touch) if _reaches(one.item.place, span) else track
            for span, track in tracks.items()
        }
    if touch == "replaced":
        return {None: renewed(tracks[None], one)}
    if touch == "worked":
        return {span: worked(track, one) for span, track in tracks.items()}
    depth_mm = stated_removal_mm(one.item, "edge_height")
    return {span: ground(track, one, depth_mm) for span, track in tracks.items()}


def _touched_in_part(track: Track, one: Timed[Step], touch: Touch) -> Track:
    return track if touch == "ground" and track.facet is None else doubted(track, one)


def _reaches(place: Place, span: Span) -> bool:
    """Whether work at a place may have reached a range; a station alone can't rule it out."""
    if span is None or place.position_mm is None:
        return True
    if place.position_mm > span[1]:
        return False
    return place.length_mm is None or place.position_mm + place.length_mm >= span[0]


def _specified(
    edge: Edge, face: Face, events: Iterable[Event], practice: Practice
) -> tuple[StatedBevel, ...]:
    found: dict[Span, StatedBevel] = {}
    for one in events:
        item = one.item
        if isinstance(item, Step) or item.edge != edge or item.basis != "specified":
            continue
        bevel_deg = bevel_of(item, face)
        if bevel_deg is not None:
            found[span_of(item)] = stated_bevel(one.visit, item, bevel_deg, practice)
    return tuple(found[span] for span in sorted(found, key=lambda one: one or ()))


def _bevel_now(track: Track) -> BevelNow:
    span_from, span_to = track.span or (None, None)
    since = _since(track)
    return BevelNow(
        track.edge,
        track.face,
        span_from,
        span_to,
        track.standing,
        track.stated,
        _facet_now(track),
        None if since is None else since.record,
        None if since is None else since.day,
        _sentence(track),
        track.doubts,
        _rests_on(track),
    )


def _since(track: Track) -> Mark | None:
    finished = track.finished_by()
    if finished is not None:
        return finished.mark
    if track.unknown is not None:
        return track.unknown
    doubtful = track.doubtful_by()
    if doubtful is not None:
        return doubtful.mark
    if track.stated is None:
        return track.replaced
    if track.standing == "partly_ground_away":
        return track.grinds[-1].mark
    return Mark(track.stated.record, track.stated.day)


def _rests_on(track: Track) -> tuple[str, ...]:
    stated = [] if track.stated is None else [track.stated.record]
    facet = () if track.facet is None else track.facet.records
    marks = [mark.record for mark in (track.unknown, track.replaced) if mark is not None]
    grinds = [grind.mark.record for grind in track.grinds]
    doubts = [doubt.record for doubt in track.doubts]
    return in_turn(facet, stated, grinds, marks, doubts)


def _facet_now(track: Track) -> Length | None:
    margin = track.facet_margin()
    hidden = track.unknown is not None and track.standing == "uncertain"
    if track.facet is None or margin is None or hidden:
        return None
    method = FACET_ASSUMED if track.facet.assumed else FACET_RECORDED
    if track.depth_mm > 0.0:
        method = FACET_GROUND
    return Length(
        max(0.0, margin.value),
        max(0.0, margin.value - margin.expanded()),
        max(0.0, margin.value + margin.expanded()),
        method,
        "practice" if track.facet.assumed else "readings",
        in_turn(track.facet.records, (grind.mark.record for grind in track.grinds)),
    )


def _sentence(track: Track) -> str:
    told = _told(track)
    if track.standing == "never_stated":
        return told
    if track.standing == "uncertain" and track.unknown is not None:
        how = "to an unknown depth" if track.facet is not None else "to a bevel nobody stated"
        return f"{told} Worked on {track.unknown.day.isoformat()} {how}."
    return told + _since_then(track, track.facet_margin())


def _told(track: Track) -> str:
    if track.stated is None:
        if track.replaced is None:
            return "Nobody stated it."
        return f"The edge was replaced on {track.replaced.day.isoformat()}; nobody stated it since."
    stated = track.stated
    verb = "Set to" if stated.basis == "set" else "Measured as"
    return f"{verb} {stated.bevel_deg:g} deg on {stated.day.isoformat()}."


def _since_then(track: Track, margin: Estimate | None) -> str:
    if track.facet is None or margin is None:
        return " Nothing has worked it since." if track.face == "side" else " It has no facet."
    width = track.facet.width.value
    facet = f"a facet of {width:.2f} mm" + (" assumed by practice" if track.facet.assumed else "")
    if track.depth_mm == 0.0:
        return f" Not ground since; it has {facet}."
    ground_off = f" Ground by {track.depth_mm:.3f} mm since, on {facet}:"
    if track.standing == "ground_away":
        return f"{ground_off} nothing of it is left."
    if track.standing == "uncertain":
        most = margin.value + margin.expanded()
        return f"{ground_off} whether any of it is left can't be told, at most {most:.2f} mm."
    return (
        f"{ground_off} {margin.value:.2f} mm of it is left, give or take {margin.expanded():.2f}."
    )
