"""Forms that live in the address: what is filtered, without a filter that nobody knows."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from pydantic_core import PydanticCustomError

from apps.pages.numbers import NotANumber, plain, read_length_mm
from apps.pages.unknown_names import refuse_unknown
from apps.pages.words import choices
from apps.records.forms import Mode
from apps.records.names import check_tag

ANY = gettext_lazy("any")
UM_PER_MM = 1000
MOST_UM = 5000

Label = Any
"""A text, or one that is told in the language of each request."""
Choice = tuple[str, Label]


class FilterForm(forms.Form):
    """What an address asks for; a name that it doesn't know, or gives twice, is a mistake.

    Parameters
    ----------
    given : QueryDict
        The query of the address. A field that it leaves out has its usual value.
    """

    not_narrowing: frozenset[str] = frozenset({"after", "sort"})
    """Fields that leave no ski out for what it is."""

    def __init__(self, given: QueryDict) -> None:
        super().__init__(self._with_usual(given), label_suffix="")
        self.given = given

    @property
    def is_narrowed(self) -> bool:
        """Whether any skis are left out for what they are."""
        return bool(set(self.changed_data) - self.not_narrowing)

    @property
    def is_changed(self) -> bool:
        """Whether anything was filled in that the page shows nowhere else."""
        return bool(set(self.changed_data) - FilterForm.not_narrowing)

    def clean(self) -> dict[str, Any]:
        """Refuse what no field stands for."""
        refuse_unknown(self, self.given)
        for name, values in self.given.lists():
            if name in self.fields and len(values) > 1:
                sentence = _("“%(name)s” is given more than once.")
                self.add_error(None, sentence % {"name": name})
        return self.cleaned_data

    def query(self, **changed: object) -> str:
        """Write the address's query with some values changed, on its first page.

        Parameters
        ----------
        **changed : object
            Values by field; "" leaves a field out.
        """
        kept = QueryDict(mutable=True)
        given = {name: self.given[name] for name in self.fields if name in self.given}
        for name, value in {**given, "after": "", **changed}.items():
            if value != "":
                kept[name] = str(value)
        return f"?{kept.urlencode()}" if kept else "?"

    def _with_usual(self, given: QueryDict) -> QueryDict:
        data = given.copy()
        for name, field in self.base_fields.items():
            if name not in data and field.initial is not None:
                data[name] = str(field.initial)
        return data


class PagedForm(FilterForm):
    """One of a list that goes on over several pages."""

    after = forms.CharField(required=False, max_length=500, widget=forms.HiddenInput)

    @property
    def place(self) -> str:
        """Where the page begins; "" for the first one."""
        return str(self.cleaned_data["after"])


class TagBeginning(forms.CharField):
    """How a tag begins; gives it in upper case, "" for any."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(required=False, max_length=40, **kwargs)
        self.widget.attrs.setdefault("autocomplete", "off")
        self.widget.attrs.setdefault("autocapitalize", "characters")

    def clean(self, value: object) -> str:
        """Read it."""
        text = str(super().clean(value))
        if not text:
            return ""
        try:
            # A beginning may end where no tag may, so a letter is put behind it for the check.
            return str(check_tag(f"{text}X", Mode(draft=True)))[:-1]
        except PydanticCustomError:
            sentence = _("No tag begins so: letters, digits, full stops, hyphens and low lines.")
            raise ValidationError(sentence) from None


class LengthBelow(forms.CharField):
    """A small length, in mm whoever asks, so that an address means the same to everybody [um]."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(required=False, max_length=40, **kwargs)
        self.widget.attrs.setdefault("inputmode", "decimal")
        self.widget.attrs.setdefault("autocomplete", "off")

    def clean(self, value: object) -> int | None:
        """Read it; None where nothing is asked."""
        text = super().clean(value)
        if not text:
            return None
        try:
            um = int(read_length_mm(text) * UM_PER_MM)
        except NotANumber as error:
            raise ValidationError(str(error)) from None
        if not 0 <= um <= MOST_UM:
            most = plain(Decimal(MOST_UM) / UM_PER_MM, 0)
            raise ValidationError(_("Give 0 to %(most)s mm.") % {"most": most})
        return um


def word_of(kind: str, label: Label, *more: Choice, blank: Label = ANY) -> forms.ChoiceField:
    """Make a field that takes one word of a list, or any.

    Parameters
    ----------
    kind : str
        Name of the list.
    label : str
        Of the field.
    *more : tuple of str
        Choices besides the words of the list.
    blank : str
        What stands for any.
    """

    # Words are told in the language of each request, so the choices are made for each.
    def words() -> list[Choice]:
        return [("", blank), *choices(kind), *more]

    return forms.ChoiceField(label=label, required=False, choices=words)
