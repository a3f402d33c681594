"""Cheaper ways to a tune, and what each gives up."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _

if TYPE_CHECKING:
    from apps.pages.sentences.templates import Templates

WAYS: Templates = {
    "fill_gouges": _("Fill the damage instead of grinding it out."),
    "keep_base_bevel": _("Keep the base bevel that is there and leave the closing grind out."),
    "wider_tolerance": _("Accept a base flat to %(usual_mm)s, the usual tolerance of this shop."),
    "spot_flatten_only": _("Flatten only the stretch that is worst, by hand."),
    "no_structure": _("Leave the structure out."),
    "bevels_only": _("Set only the bevels that need no grind."),
    "filling-is-softer": _("A filling is softer than the base and may have to be renewed."),
    "bevel-stays-unknown": _(
        "%(edge)s: the base bevel stays as it is, unknown, and not %(wanted_deg)s."
    ),
    "bevel-stays": _("%(edge)s: the base bevel stays at %(now_deg)s, and not %(wanted_deg)s."),
    "bevel-set-again": _(
        "%(edge)s: the base bevel is set to %(now_deg)s again after the grind, and not to "
        "%(wanted_deg)s."
    ),
    "less-flat": _("The base is flat to %(usual_mm)s and not to %(wanted_mm)s."),
    "rest-stays-out-of-flat": _("The rest of the base stays out of flat as it is."),
    "base-stays-out-of-flat": _("The base stays out of flat as it is."),
    "pattern-stays": _("The base keeps the pattern it has."),
    "burn-stays": _("The burnt base stays sealed."),
    "damage-stays": _("The damage to be ground out stays."),
}
