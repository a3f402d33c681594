"""What a row of a job's form is, and the fields that say where on the ski."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, ClassVar

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from apps.pages.bench.fields import StepField, limits, whole_field, word_field
from apps.pages.numbers import Unit
from apps.records.place import Place

BOTH = "both"
ALL_SKIS = gettext_lazy("both skis")
Group = tuple[str | Promise, tuple[str, ...]]


class RowForm(forms.Form):
    """One row; a row in which nothing but what stood there before is filled in is no row."""

    # What says nothing by itself, because it stands in a fresh row already.
    beside: ClassVar[frozenset[str]] = frozenset({"on"})
    first: ClassVar[tuple[str, ...]] = ()
    named: ClassVar[str | Promise] = ""
    fold: ClassVar[str | Promise] = ""
    groups: ClassVar[tuple[Group, ...]] = ()

    def __init__(
        self,
        data: Mapping[str, Any] | None = None,
        *,
        prefix: str,
        tags: Sequence[str],
        unit: Unit,
        initial: Mapping[str, Any] | None = None,
    ) -> None:
        super().__init__(data, prefix=prefix, initial=dict(initial or {}), label_suffix="")
        self.use_required_attribute = False
        self.unit = unit
        if len(tags) > 1:
            skis = [(str(number), tag) for number, tag in enumerate(tags)]
            self.fields["on"] = forms.ChoiceField(
                label=_("On"), choices=[(BOTH, ALL_SKIS), *skis], initial=BOTH, required=False
            )
        for field in self.fields.values():
            if isinstance(field, StepField):
                field.unit = unit

    @property
    def title(self) -> str:
        """What the row is called; a blank one leaves its number to the script that adds it."""
        number = str(self.prefix).rpartition("-")[2]
        return str(self.named) % {"number": int(number) + 1 if number.isdigit() else "__number__"}

    @property
    def given(self) -> dict[str, Any]:
        """What was filled in, without what is empty."""
        return {
            name: value
            for name, value in self.cleaned_data.items()
            if value not in (None, "", (), [])
        }

    @property
    def is_blank(self) -> bool:
        """Whether the row says nothing."""
        return not self.errors and set(self.given) <= self.beside

    def is_on(self, number: int) -> bool:
        """Whether the row is about a ski, by its number."""
        return self.given.get("on", BOTH) in (BOTH, str(number))

    @property
    def main(self) -> list[forms.BoundField]:
        """The fields that are always seen."""
        names = (*(("on",) if "on" in self.fields else ()), *self.first)
        return [self[name] for name in names]

    @property
    def more(self) -> list[tuple[str | Promise, list[forms.BoundField]]]:
        """The fields behind the fold, group by group."""
        return [(legend, [self[name] for name in names]) for legend, names in self.groups]

    @property
    def is_open(self) -> bool:
        """Whether something behind the fold is filled in or wrong."""
        return any(one.errors or one.value() for _legend, fields in self.more for one in fields)


def place_fields() -> dict[str, forms.Field]:
    """Give the fields that say where on the ski; fresh ones for each form."""
    low, high = limits(Place, "position_mm")
    return {
        "surface": word_field("surface", gettext_lazy("Surface")),
        "station": word_field("station", gettext_lazy("Where along the ski")),
        "position_mm": whole_field(low, high, label=gettext_lazy("Distance from the tail in mm")),
        "length_mm": whole_field(
            *limits(Place, "length_mm"), label=gettext_lazy("Length of the stretch in mm")
        ),
    }
