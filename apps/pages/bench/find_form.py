"""Finding a ski by what was typed or scanned, and registering one that is new."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast

from django import forms
from django.conf import settings
from django.utils import timezone
from django.utils.translation import gettext_lazy

from apps.pages.bench.fields import MillimetreField, fixed_step, limits, text_field, whole_field
from apps.pages.bench.job_documents import texts
from apps.records.description import DescriptionBody
from apps.records.envelope import DescriptionDraft
from apps.records.reading import read_draft

LONGEST_TYPED = 500
DESCRIBED = (
    "maker_text",
    "model_text",
    "length_mm",
    "shovel_width_mm",
    "waist_width_mm",
    "tail_width_mm",
)


class FindForm(forms.Form):
    """Which ski is meant."""

    tag = forms.CharField(
        label=gettext_lazy("Tag on the ski"),
        max_length=LONGEST_TYPED,
        widget=forms.TextInput(
            attrs={
                "autocomplete": "off",
                "autocapitalize": "characters",
                "spellcheck": "false",
                "autofocus": True,
                "enterkeyhint": "go",
            }
        ),
    )


class RegisterForm(forms.Form):
    """A new ski: its tag, and what can be read off it at a glance."""

    tag = text_field(gettext_lazy("Tag"), required=True)
    maker_text = text_field(gettext_lazy("Maker as printed on the ski"))
    model_text = text_field(gettext_lazy("Model as printed on the ski"))
    length_mm = whole_field(
        *limits(DescriptionBody, "length_mm"), label=gettext_lazy("Length in mm, as marked")
    )
    shovel_width_mm = MillimetreField(
        fixed_step(DescriptionBody, "shovel_width_mm"),
        label=gettext_lazy("Width of the shovel in mm"),
    )
    waist_width_mm = MillimetreField(
        fixed_step(DescriptionBody, "waist_width_mm"),
        label=gettext_lazy("Width of the waist in mm"),
    )
    tail_width_mm = MillimetreField(
        fixed_step(DescriptionBody, "tail_width_mm"), label=gettext_lazy("Width of the tail in mm")
    )

    def __init__(
        self, data: Mapping[str, Any] | None = None, *, initial: Mapping[str, Any] | None = None
    ) -> None:
        super().__init__(data, prefix="new", initial=dict(initial or {}), label_suffix="")
        self.use_required_attribute = False

    def draft(self, shop: str) -> DescriptionDraft:
        """Make the description that registers the ski; the form is valid.

        Raises
        ------
        InvalidRecord
            With all that is wrong at once.
        """
        given = self.cleaned_data
        body = {name: given[name] for name in DESCRIBED if given[name] not in (None, "")}
        document = {
            "ski": {"shop": shop, "tag": given["tag"]},
            "performed_at": timezone.localdate().isoformat(),
            "body": texts(body),
        }
        return cast(
            "DescriptionDraft", read_draft("description", document, node_host=settings.NODE_HOST)
        )
