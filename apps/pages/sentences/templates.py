"""What a sentence with placeholders is, and how it is filled in."""

from __future__ import annotations

from collections.abc import Mapping

from django.utils.functional import Promise
from django.utils.text import capfirst

Template = str | Promise
Templates = Mapping[str, Template]


def filled(template: Template, values: Mapping[str, str | int]) -> str:
    """Fill in a sentence; it begins with a capital, also where a placeholder stands first."""
    # A plural that is still to be chosen takes its values before it becomes text.
    return capfirst(str(template % values))
