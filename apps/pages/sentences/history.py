"""Doubts about a history: what contradicts what, with the days and the figures."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext_lazy

if TYPE_CHECKING:
    from apps.pages.sentences.templates import Templates

HISTORY: Templates = {
    "dated-in-future": _("A record is dated %(day)s, and today is %(today)s."),
    "several-corrections": ngettext_lazy(
        "The record of %(day)s was corrected %(count)s time; the latest correction holds.",
        "The record of %(day)s was corrected %(count)s times; the latest correction holds.",
        "count",
    ),
    "double-entry": _("%(count)s records of %(day)s say the same (%(record_kind)s)."),
    "long-gap": ngettext_lazy(
        "Nothing is on record from %(earlier_day)s to %(later_day)s, %(count)s day. "
        "Work done meanwhile may be missing.",
        "Nothing is on record from %(earlier_day)s to %(later_day)s, %(count)s days. "
        "Work done meanwhile may be missing.",
        "count",
    ),
    "work-after-retired": _(
        "Work is on record on %(day)s, after the ski was retired on %(retired_day)s."
    ),
    "order-unknown": _(
        "%(shops)s worked on the ski on %(day)s, not all with a time of day. "
        "Which work came first is not known."
    ),
    "reading-against-its-time": _(
        "A reading of %(day)s is marked “%(moment)s”, and its time, %(time)s, says otherwise."
    ),
    "closed-before-found": _(
        "A finding of %(found_day)s was closed on %(day)s, before it was made."
    ),
    "more-use-than-days": ngettext_lazy(
        "The report of %(day)s says %(used_days)s days of use, and only %(count)s day has passed "
        "since the report of %(earlier_day)s.",
        "The report of %(day)s says %(used_days)s days of use, and only %(count)s days have passed "
        "since the report of %(earlier_day)s.",
        "count",
    ),
    "steel-grew": _(
        "%(where)s: %(later_mm)s read on %(later_day)s, %(earlier_mm)s on %(earlier_day)s. "
        "Steel doesn't grow: this is a rise of %(rise_mm)s, and the uncertainties explain "
        "%(limit_mm)s."
    ),
    "base-grew": _(
        "%(where)s: %(later_mm)s read on %(later_day)s, %(earlier_mm)s on %(earlier_day)s. "
        "A base doesn't grow: this is a rise of %(rise_mm)s, and the uncertainties explain "
        "%(limit_mm)s."
    ),
    "gauges-disagree": _(
        "%(where)s: two instruments disagree. “%(first)s” reads %(first_mm)s, “%(second)s” reads "
        "%(second_mm)s; their uncertainties and the work between them don't explain that."
    ),
    "stated-more-than-readings-fell": _(
        "%(where)s: the work between two readings states %(stated_mm)s off, and the readings fell "
        "by %(drop_mm)s."
    ),
    "more-than-was-there": _(
        "%(where)s: the work since the last reading took %(taken_mm)s or more, and that reading "
        "was %(read_mm)s."
    ),
    "set-and-measured-disagree": _(
        "%(where)s: set to %(set_deg)s on %(set_day)s and measured as %(measured_deg)s on "
        "%(measured_day)s, with no work on it in between."
    ),
    "base-bevel-closed-without-grind": _(
        "Base bevel, %(edge)s: %(before_deg)s on %(before_day)s and %(after_deg)s on "
        "%(after_day)s. A base bevel closes only when the base is ground, and no grind is on "
        "record in between."
    ),
}
"""By case; `where` is a heading such as "edge height, left edge, waist"."""
