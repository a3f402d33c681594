"""What may be asked of the list of the fleet."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Literal

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from apps.pages.fleet.filters import LengthBelow, PagedForm, TagBeginning, word_of
from apps.registry.fleet import Bound, Order, Selection
from apps.registry.fleet_columns import order_of
from apps.registry.models.jobs import SEVERITIES

NEVER_STATED = "unknown"
OR_WORSE = (
    ("", _("with or without")),
    ("slight", _("any")),
    ("moderate", _("moderate or severe")),
    ("severe", _("severe")),
)
SORTS: Mapping[str, str | Promise] = MappingProxyType(
    {
        "tag": _("by tag"),
        "-tag": _("by tag, from the end"),
        "edge_height_least_mm": _("least steel first"),
        "-edge_height_least_mm": _("most steel first"),
        "base_thickness_least_mm": _("least base first"),
        "-base_thickness_least_mm": _("most base first"),
        "services_left_low": _("fewest services left first"),
        "-services_left_low": _("most services left first"),
        "last_job_day": _("longest without a job first"),
        "-last_job_day": _("latest job first"),
        "due_on": _("first due first"),
        "-due_on": _("last due first"),
    }
)
BOUNDS: Mapping[str, tuple[str, Literal["lt", "lte"]]] = MappingProxyType(
    {
        "steel_below": ("edge_height_least_um", "lt"),
        "base_below": ("base_thickness_um", "lt"),
        "services": ("services_left_low", "lte"),
    }
)


class FleetForm(PagedForm):
    """Which skis of the fleet, in which order. A ski whose value is unknown meets no limit."""

    tag = TagBeginning(label=_("Tag begins with"))
    status = word_of("status", _("Status"), (NEVER_STATED, _("never stated")))
    base_bevel = word_of("standing", _("Base bevel"))
    side_bevel = word_of("standing", _("Side bevel"))
    findings = forms.ChoiceField(
        label=_("Open findings"),
        required=False,
        choices=OR_WORSE,
    )
    services = forms.IntegerField(
        label=_("Services left, at most"),
        help_text=_("At the worst."),
        required=False,
        min_value=0,
        max_value=10_000,
    )
    steel_below = LengthBelow(label=_("Less steel than [mm]"), help_text=_("Edge height."))
    base_below = LengthBelow(label=_("Less base than [mm]"))
    sort = forms.ChoiceField(
        label=_("Order"), required=False, initial="tag", choices=list(SORTS.items())
    )

    @property
    def sort_key(self) -> str:
        """By what the list is sorted, as the columns name it."""
        return str(self.cleaned_data["sort"]) or "tag"

    @property
    def order(self) -> Order:
        """In which order."""
        return order_of(self.sort_key)

    @property
    def selection(self) -> Selection:
        """Which skis."""
        given = self.cleaned_data
        ends = ((column, how, given[name]) for name, (column, how) in BOUNDS.items())
        bounds = tuple(Bound(column, how, end) for column, how, end in ends if end is not None)
        return Selection(self._words(), bounds, given["tag"])

    def _words(self) -> dict[str, tuple[str, ...]]:
        given = self.cleaned_data
        found = {
            "status": stated_as(given["status"]),
            "base_bevel_standing": one(given["base_bevel"]),
            "side_bevel_standing": one(given["side_bevel"]),
            "worst_severity": at_least(given["findings"]),
        }
        return {name: words for name, words in found.items() if words}


def one(word: str) -> tuple[str, ...]:
    """Give the words of a column that a choice stands for; none for any."""
    return (word,) if word else ()


def stated_as(word: str) -> tuple[str, ...]:
    """Give the statuses that a choice stands for: one that was never stated is kept as ""."""
    return ("",) if word == NEVER_STATED else one(word)


def at_least(severity: str) -> tuple[str, ...]:
    """Give a severity and those that are worse."""
    return SEVERITIES[SEVERITIES.index(severity) :] if severity else ()
