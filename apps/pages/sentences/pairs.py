"""The two skis of a pair: what differs, what can't be told, and what to do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _

if TYPE_CHECKING:
    from apps.pages.sentences.templates import Templates

PAIRS: Templates = {
    "pair-greater-together": _(
        "%(where)s: greater on %(more)s by %(difference)s (± %(expanded)s). The shop allows "
        "%(tolerance)s, so they go together."
    ),
    "pair-greater-apart": _(
        "%(where)s: greater on %(more)s by %(difference)s (± %(expanded)s). The shop allows "
        "%(tolerance)s: they have drifted apart."
    ),
    "pair-greater-undecided": _(
        "%(where)s: greater on %(more)s by %(difference)s (± %(expanded)s). The shop allows "
        "%(tolerance)s, and that doesn't decide it. Measure both with one finer gauge."
    ),
    "pair-same-together": _(
        "%(where)s: the same on both (± %(expanded)s). The shop allows %(tolerance)s, so they go "
        "together."
    ),
    "pair-same-undecided": _(
        "%(where)s: the same on both (± %(expanded)s). The shop allows %(tolerance)s, and that "
        "doesn't decide it. Measure both with one finer gauge."
    ),
    "pair-greater-exactly-together": _(
        "%(where)s: greater on %(more)s by %(difference)s. The shop allows %(tolerance)s, so they "
        "go together."
    ),
    "pair-greater-exactly-apart": _(
        "%(where)s: greater on %(more)s by %(difference)s. The shop allows %(tolerance)s: they "
        "have drifted apart."
    ),
    "pair-same-exactly-together": _("%(where)s: the same on both."),
    "pair-unknown-deg": _(
        "%(where)s: not known of %(skis)s. Measure it, or set it and record what was set."
    ),
    "pair-unknown-mm": _("%(where)s: not known of %(skis)s. Measure it."),
    "pair-unknown-m": _(
        "%(where)s: not known of %(skis)s. Measure the widths, or record what the maker declares."
    ),
    "pair-unknown-d": _("%(where)s: not known of %(skis)s. Report the days out."),
    "pair-other-places": _(
        "%(where)s: read at different places of %(first)s and %(second)s. Measure both at the same "
        "place."
    ),
    "pair-other-methods": _(
        "Sidecut radius: known by different methods on %(first)s and %(second)s, and the methods "
        "differ on one ski. Measure the widths of both."
    ),
    "pair-spare-the-worn": _(
        "Steel and base that are gone can't be put back. Spare the worn ski: tune the other one "
        "only where it needs it."
    ),
    "pair-perhaps-none": _(
        "Radius or length differ, so these may not be the two skis of one pair."
    ),
    "pair-days-differ": _(
        "The days out differ: the skis were not always used together, or not all days were "
        "reported."
    ),
}
