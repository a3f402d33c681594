"""The visits of a ski, newest first, each with what was found, done, measured and set."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import groupby

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apps.pages.ski.amended import Words, words_about
from apps.pages.ski.description import Fact, facts_of_body
from apps.pages.ski.lines import (
    bevel_line,
    finding_line,
    listed,
    measurement_line,
    step_line,
    target_line,
)
from apps.pages.ski.names import anchor, tag_name, technician_of
from apps.pages.ski.rows import Rows
from apps.pages.ski.said import said
from apps.pages.ski.taken_off import TakenOff, taken_off
from apps.pages.ski.viewer import Viewer
from apps.pages.words import word
from apps.records.amendment import ErasureBody
from apps.records.description import DescriptionBody
from apps.records.folding import Folded, State
from apps.records.job import JobBody
from apps.records.keeping import PairBody, StatusBody, UsageBody
from apps.records.link import LinkBody
from apps.records.model import RecordModel
from apps.records.place import SkiTag
from apps.registry.models.ski import tag_key
from apps.registry.naming import short_shop
from apps.registry.sight import Sight
from apps.registry.visits import parts_of


@dataclass(frozen=True, slots=True)
class Content:
    """What a visit says, a line each.

    Parameters
    ----------
    found, done, measured, bevels : tuple of str
    target, told : str
        What the tune was to reach, and what records of other kinds say.
    facts : tuple of Fact
        What a description says.
    remarks : tuple of str
        Empty for a buyer.
    """

    found: tuple[str, ...] = ()
    done: tuple[str, ...] = ()
    measured: tuple[str, ...] = ()
    bevels: tuple[str, ...] = ()
    target: str = ""
    told: str = ""
    facts: tuple[Fact, ...] = ()
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class VisitShown:
    """One record as the page shows it, with what stands of it.

    Parameters
    ----------
    record_id, anchor : str
        Its id, and where on the page it is.
    day : date
        As corrected.
    time : str
        The bench's clock, hh:mm; "" for a date alone.
    kind, author, technician, rank : str
        In words; the technician is "" for a buyer and where nobody is named.
    under : str
        The tag that it names, where that is another one on this ski; "" else.
    state : str
        `stands`, `corrected` or `retracted`.
    content : Content
        What is in effect; of a record that was taken back, its last word.
    first : Content or None
        What was written first, where a correction stands in its place.
    taken : tuple of TakenOff
        What it took off; none for a record that was taken back.
    about : Words
        What later records say about it.
    """

    record_id: str
    anchor: str
    day: date
    time: str
    kind: str
    author: str
    technician: str
    rank: str
    under: str
    state: str
    content: Content
    first: Content | None
    taken: tuple[TakenOff, ...]
    about: Words


@dataclass(frozen=True, slots=True)
class Year:
    """The visits of one calendar year; only the latest year stands open at first."""

    number: int
    visits: tuple[VisitShown, ...]
    is_latest: bool


def years_of(visits: Sequence[VisitShown]) -> tuple[Year, ...]:
    """Part visits, which are in the order of time, by their years."""
    grouped = groupby(visits, key=lambda visit: visit.day.year)
    years = [(number, tuple(group)) for number, group in grouped]
    return tuple(Year(number, group, place == 0) for place, (number, group) in enumerate(years))


def visits_shown(sight: Sight, rows: Rows, viewer: Viewer) -> tuple[VisitShown, ...]:
    """List the records of a ski, the newest first."""
    showing = _Showing(sight, rows, viewer, taken_off(sight, viewer.unit))
    return tuple(showing.visit(one) for one in reversed(sight.fold.records))


@dataclass(frozen=True, slots=True)
class _Showing:
    sight: Sight
    rows: Rows
    viewer: Viewer
    taken: Mapping[str, tuple[TakenOff, ...]] = field(default_factory=dict)

    def visit(self, one: Folded) -> VisitShown:
        performed_at = one.content.performed_at
        return VisitShown(
            record_id=one.record_id,
            anchor=anchor(one.record_id),
            day=performed_at.day,
            time=performed_at[11:16],
            kind=word("record_kind", one.record.kind),
            author=short_shop(one.record.author),
            technician="" if self.viewer.is_buyer else technician_of(one),
            rank=word("rank", self.rows.all[one.record_id].rank),
            under=self._under(one.record.ski),
            state=str(one.state),
            content=content_of(one.content.kind, one.content.body, self.viewer),
            first=self._first(one),
            taken=() if one.state is State.RETRACTED else self.taken.get(one.record_id, ()),
            about=words_about(one, self.rows, self.viewer),
        )

    def _under(self, ski: SkiTag) -> str:
        key = tag_key(ski.shop, ski.tag)
        return "" if key == self.sight.ski.tag.key else tag_name(key)

    def _first(self, one: Folded) -> Content | None:
        if one.content.source == one.record_id:
            return None
        return content_of(one.record.kind, one.record.body, self.viewer)


def content_of(kind: str, body: RecordModel, viewer: Viewer) -> Content:
    """Write out what a body of some kind says."""
    unit, parts = viewer.unit, parts_of(body)
    target = body.target if isinstance(body, JobBody) else None
    return Content(
        tuple(finding_line(finding) for finding in parts.findings),
        tuple(step_line(step) for step in parts.steps),
        tuple(measurement_line(reading, unit) for reading in parts.measurements),
        tuple(bevel_line(bevel, unit) for bevel in parts.bevels),
        target_line(target, unit) if target else "",
        told_by(kind, body),
        facts_of_body(body) if isinstance(body, DescriptionBody) else (),
        () if viewer.is_buyer else tuple(_remarks(body)),
    )


def told_by(kind: str, body: RecordModel) -> str:
    """Say what a record of use, status, pair, link or erasure tells; "" for other kinds."""
    if isinstance(body, UsageBody):
        return ngettext("%(days)s day out", "%(days)s days out", body.days) % {"days": body.days}
    if isinstance(body, StatusBody):
        reason = said("status_reason", body.reason, body.reason_text) if body.reason else ""
        return listed(word("status", body.status), reason)
    if isinstance(body, PairBody):
        return _("Used together with %(tag)s of %(shop)s") % _named(body.other_ski)
    if isinstance(body, LinkBody):
        return _linked(kind, body)
    if isinstance(body, ErasureBody):
        return listed(said("erasure_reason", body.reason, body.reason_text))
    return ""


def _named(ski: SkiTag) -> dict[str, str]:
    return {"tag": ski.tag, "shop": short_shop(ski.shop)}


def _linked(kind: str, body: LinkBody) -> str:
    same = kind == "same-ski"
    table = "same_ski_evidence" if same else "distinct_ski_evidence"
    evidence = ", ".join(said(table, one, body.evidence_text) for one in body.evidence)
    shown = {**_named(body.other_ski), "evidence": evidence}
    if same:
        return _("The same ski as %(tag)s of %(shop)s: %(evidence)s") % shown
    return _("Another ski than %(tag)s of %(shop)s: %(evidence)s") % shown


def _remarks(body: RecordModel) -> Iterator[str]:
    if body_remarks := getattr(body, "remarks", None):
        yield str(body_remarks)
    for finding in parts_of(body).findings:
        if finding.remarks:
            yield finding.remarks
