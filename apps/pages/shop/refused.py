"""The registry's refusals in the page's language, by their codes."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apps.registry.actions import LIVE_KEYS
from apps.registry.errors import (
    InvalidSetting,
    KeyLimit,
    LastOwner,
    PersonExists,
    RegistryError,
    UnknownPerson,
)


def refusal(error: RegistryError) -> str:
    """Say why the registry refused."""
    by_place = {
        (PersonExists, "/username"): _("Somebody on this node has this name. Take another."),
        (PersonExists, "/alias"): _("Somebody of the shop has this alias. Take another."),
        (InvalidSetting, "/username"): _(
            "A name has 1 to 32 small letters, digits, full stops, low lines and hyphens, and "
            "begins and ends with a letter or a digit."
        ),
        (InvalidSetting, "/alias"): _(
            "An alias has up to 32 letters, digits, full stops, low lines or hyphens, and begins "
            "with a letter or a digit."
        ),
    }
    return by_place.get((type(error), error.pointer)) or _by_kind(error)


def _by_kind(error: RegistryError) -> str:
    by_kind: dict[type[RegistryError], str] = {
        LastOwner: _("The shop would have no owner. Make somebody else an owner first."),
        UnknownPerson: _("Nobody of the shop has this name any more."),
        KeyLimit: ngettext(
            "The shop has %(count)s live key already. Revoke it first.",
            "The shop has %(count)s live keys already. Revoke one of them first.",
            LIVE_KEYS,
        )
        % {"count": LIVE_KEYS},
    }
    return by_kind.get(type(error)) or _("This can't be done as asked")
