"""A record as it would be written, told line by line before it is signed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import cast

from django.utils.translation import gettext as _

from apps.pages.bench.fields import RIGHT_ANGLE_DEG
from apps.pages.numbers import degrees
from apps.pages.sentences import caution_sentence
from apps.pages.ski.viewer import Viewer
from apps.pages.ski.visits import Content, content_of
from apps.records.envelope import Draft
from apps.records.job import JobBody
from apps.tuning.cautions import iron_cautions


@dataclass(frozen=True, slots=True)
class RecordShown:
    """One record before it is written.

    Parameters
    ----------
    shop, tag : str
        The ski.
    day : date
        Day of the work.
    content : Content
        What it says, a line each.
    technician : str
        Alias; "" where none is given.
    angles : tuple of str
        Each side bevel said back as an angle too, since benches use both.
    warnings : tuple of str
        Of an iron that was hotter than bases or waxes bear.
    """

    shop: str
    tag: str
    day: date
    content: Content
    technician: str
    angles: tuple[str, ...]
    warnings: tuple[str, ...]


def records_shown(drafts: Sequence[Draft], viewer: Viewer) -> tuple[RecordShown, ...]:
    """Tell drafts of jobs in the visitor's language."""
    return tuple(_record(draft, viewer) for draft in drafts)


def _record(draft: Draft, viewer: Viewer) -> RecordShown:
    body = cast("JobBody", draft.body)
    return RecordShown(
        shop=draft.ski.shop,
        tag=draft.ski.tag,
        day=draft.performed_at.day,
        content=content_of(draft.kind, body, viewer),
        technician=body.technician or "",
        angles=tuple(dict.fromkeys(_angles(body))),
        warnings=tuple(dict.fromkeys(_iron_warnings(body))),
    )


def _angles(body: JobBody) -> Iterator[str]:
    target = body.target.side_bevel_deg if body.target else None
    for side in (target, *(one.side_bevel_deg for one in body.bevel_settings)):
        if side is not None:
            yield angle_said_back(side)


def _iron_warnings(body: JobBody) -> Iterator[str]:
    for step in body.steps:
        if step.iron_temperature_c is not None:
            yield from (
                caution_sentence(one.code) for one in iron_cautions(step.iron_temperature_c)
            )


def angle_said_back(side_bevel_deg: Decimal | float) -> str:
    """Say a side bevel as the angle that it is."""
    angle = RIGHT_ANGLE_DEG - Decimal(str(side_bevel_deg))
    told = {"bevel": degrees(side_bevel_deg), "angle": degrees(angle)}
    return _("A side bevel of %(bevel)s is an angle of %(angle)s.") % told
