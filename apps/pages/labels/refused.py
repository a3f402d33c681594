"""Why the registry issues no such tags, in the page's language, and at which field that stands."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from django.utils.translation import gettext as _

from apps.registry.errors import InvalidSetting, RegistryError, WrongState

FIELDS: Mapping[str, str] = MappingProxyType(
    {"/prefix": "beginning", "/count": "count", "/digits": "digits"}
)


def refusal(error: RegistryError) -> str:
    """Say why no such tags are issued."""
    sentences = {
        (InvalidSetting, "/prefix"): _(
            "This can't begin a tag: letters, digits, full stop, low line and hyphen, not too "
            "many, and no digit at the end."
        ),
        (WrongState, "/prefix"): _("There are not so many numbers left. Take another beginning."),
        (WrongState, "/digits"): _(
            "Tags with this beginning have another number of digits. Leave it as before, or take "
            "another beginning."
        ),
    }
    return sentences.get((type(error), error.pointer), _("This can't be done as asked"))
