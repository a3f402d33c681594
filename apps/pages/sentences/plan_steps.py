"""Why each step of a planned tune is in it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _

if TYPE_CHECKING:
    from apps.pages.sentences.templates import Templates

MENDING: Templates = {
    "remove_rust": _("Rust off first, so that stone and file cut steel."),
    "repair_delamination": _("Parted layers are glued before the base is made flat."),
    "refix_edge": _("The edge is set back before the base is made flat."),
    "replace_edge": _("New steel is set flush before the base is made flat."),
    "remove_hardened_spot": _("Hardened steel is stoned off; a file would slide over it."),
    "open_gouge": _("The damage is cut clean, so that the filling holds."),
    "fill_gouge": _("The gouge is filled, which takes no material off."),
    "patch_base": _("A piece of base is let in, which closes the core."),
    "remove_excess": _("The filling is brought down level with the base."),
    "plane_sidewall": _("The sidewall is planed back, clear of the side edge."),
    "groove-filled": _("The centre groove is filled and is cut again."),
    "groove-closed-by-filling": _("The centre groove is cut again where the filling closed it."),
}

PLANE: Templates = {
    "plane-flatness": _(
        "The base is brought to the flatness asked for. The edges stay near square until then."
    ),
    "plane-flatness-perhaps": _(
        "The base is brought to the flatness asked for, only as far as measuring shows it is "
        "needed. The edges stay near square until then."
    ),
    "plane-closing": _(
        "A smaller base bevel needs the whole base lower. The edges stay near square until then."
    ),
    "plane-closing-perhaps": _(
        "A smaller base bevel needs the whole base lower, only as far as measuring shows it is "
        "needed. The edges stay near square until then."
    ),
    "plane-grind_out": _("The damage is ground out. The edges stay near square until then."),
    "plane-grind_out-perhaps": _(
        "The damage is ground out, only as far as measuring shows it is needed. The edges stay "
        "near square until then."
    ),
    "spot_flatten": _("Only the stretch that is worst is brought down."),
}

FINISHING: Templates = {
    "clean-first": _("Dirt and old wax off, so that damage and shape can be seen."),
    "side-corner-moves": _("%(edge)s: the side to %(side_deg)s. The corner moves in."),
    "side-corner-stays": _("%(edge)s: the side to %(side_deg)s. The corner stays."),
    "base_bevel": _("%(edge)s: the base bevel to %(base_deg)s, now that the base is done."),
    "deburr": _("The burr that filing leaves is taken off."),
    "structure": _("The ground pattern lets water film and wax work."),
    "clean-before-wax": _("Stone dust and filings off, before they are waxed in."),
    "prepare_base": _("The base is opened and cleaned to take up wax."),
    "wax": _("The base is waxed, last of all that puts something on."),
    "scrape_wax": _("Wax that stands on the base would only brake."),
    "brush": _("The structure is brushed free."),
}

STEPS: Templates = {**MENDING, **PLANE, **FINISHING}
