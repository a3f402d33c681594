"""The heads of the fleet's table, which sort it."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from apps.pages.fleet.fleet_form import FleetForm

HEADS: tuple[tuple[str | Promise, str], ...] = (
    (_("Tag"), "tag"),
    (_("Status"), ""),
    (_("Bevels"), ""),
    (_("Steel"), "edge_height_least_mm"),
    (_("Base"), "base_thickness_least_mm"),
    (_("Services left"), "services_left_low"),
    (_("Open findings"), ""),
    (_("Last job"), "last_job_day"),
    (_("Due"), "due_on"),
)


@dataclass(frozen=True, slots=True)
class Head:
    """The head of a column.

    Parameters
    ----------
    label : str
        What it holds.
    query : str
        What sorts by it, the other way round where it is sorted by it already; "" where nothing
        does.
    sorted : {"ascending", "descending", ""}
        How it is sorted by it.
    """

    label: str | Promise
    query: str
    sorted: str


def heads_of(form: FleetForm) -> list[Head]:
    """Give the heads for what is asked for."""
    return [_head(label, sort, form) for label, sort in HEADS]


def _head(label: str | Promise, sort: str, form: FleetForm) -> Head:
    if not sort:
        return Head(label, "", "")
    asked = form.sort_key
    turned = {sort: f"-{sort}"}.get(asked, sort)
    how = {sort: "ascending", f"-{sort}": "descending"}.get(asked, "")
    return Head(label, form.query(sort=turned), how)
