"""Whether a planned tune can be carried out, why not, and what to measure first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _

if TYPE_CHECKING:
    from apps.pages.sentences.templates import Templates

OUTCOMES: Templates = {
    "feasible": _("Enough is left for this tune."),
    "not_feasible": _("This tune can't be done: too little would be left."),
    "undecided": _("Whether enough is left for this tune can't be told yet."),
}

REASONS: Templates = {
    "below-least": _(
        "%(where)s: %(left_mm)s would be left (%(low_mm)s to %(high_mm)s), and %(least_mm)s is "
        "the least."
    ),
    "near-least": _(
        "%(where)s: this may go below the least. %(left_mm)s would be left (%(low_mm)s to "
        "%(high_mm)s), and %(least_mm)s is the least."
    ),
    "never-measured": _("%(where)s: nobody measured it."),
    "closing-unsure": _(
        "%(edge)s: the base bevel now is not known, so the grind that closing it may need lies "
        "anywhere between nothing and %(most_mm)s."
    ),
    "depth-unknown": _("How deep the damage to be ground out goes is not known."),
    "shape-unknown": _("Flattening is asked for, and nobody laid a true bar on the base."),
    "side-hangs-on-height": _(
        "%(edge)s: what the side bevel takes hangs on the edge height, and that is not known."
    ),
}

MEASURES: Templates = {
    "measure": _("%(where)s: measure it."),
    "measure-new-edge": _("%(where)s: measure it once the new edge is fitted."),
    "measure-again": _("%(where)s: measure again, with a finer gauge or several readings."),
    "measure-each-pass": _(
        "%(where)s: measure after each pass, or learn from readings what this bench takes off."
    ),
    "measure-bevel": _("%(edge)s: measure the base bevel and the facet width."),
    "measure-new-bevel": _(
        "%(edge)s: measure the base bevel and the facet width once the new edge is fitted."
    ),
    "measure-depth": _("Measure how deep the damage to be ground out is."),
    "measure-shape": _("Measure across the base with a true bar, at several places along the ski."),
}

WARNINGS: Templates = {
    "unusual-base-bevel": _(
        "%(edge)s: a base bevel of %(base_deg)s is unusual. Most are 0.5° to 1°."
    ),
    "unusual-side-bevel": _(
        "%(edge)s: a side bevel of %(side_deg)s is unusual. Most are 1° to 3°."
    ),
    "included-angle-over-90": _(
        "%(edge)s: the edge would be blunter than square, %(included_deg)s."
    ),
    "flatness-not-proved": _(
        "The base looks flat enough, but the uncertainty of the true bar doesn't prove it."
    ),
    "shape-not-known": _(
        "Nobody laid a true bar on the base. If it is convex, its crown comes off the base on top "
        "of what is stated."
    ),
    "closing-not-known": _(
        "%(edge)s: closing the base bevel may need a grind of up to %(most_mm)s."
    ),
    "structure-shortens-facet": _(
        "%(edge)s: the structure pass takes off some of the new base facet."
    ),
    "base-bevel-to-set-anew": _(
        "%(edge)s: the base bevel won't stand as it is. Plan to set it anew."
    ),
    "ground-base-unwaxed": _("A freshly ground base is dry: wax it."),
    "material-unchecked": _(
        "%(where)s: nobody measured it, so whether enough is left is not known."
    ),
    "already-below-least": _(
        "%(where)s: only %(left_mm)s is left already, and %(least_mm)s is the least. This plan "
        "takes none of it."
    ),
    "finding-not-planned": _(
        "No step of a tune mends this: %(finding)s. Judge it by eye before the ski goes out."
    ),
}

VERDICT: Templates = {**REASONS, **MEASURES, **WARNINGS}
