"""What may be asked of the list of the pairs."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

from apps.pages.fleet.filters import PagedForm, TagBeginning


class PairsForm(PagedForm):
    """Which pairs."""

    tag = TagBeginning(label=_("Tag of either ski begins with"))
