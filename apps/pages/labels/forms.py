"""The forms of the labels: issue tags, and how to print them."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.text import format_lazy
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy, ngettext
from pydantic_core import PydanticCustomError

from apps.pages.labels.drawing import Slip
from apps.pages.labels.stock import MM, ROLLS, SHEETS, STOCKS, Stock, roll
from apps.pages.numbers import NotANumber, plain, read_length_mm
from apps.records.forms import Mode
from apps.records.names import check_tag
from apps.registry.models.label_range import FEWEST_DIGITS, MOST_DIGITS, MOST_LABELS

FREE = "roll"
MOST_SLIP_MM = 5
NARROWEST_MM, WIDEST_MM = 30, 210
LOWEST_MM, HIGHEST_MM = 15, 297
MOST_AGAIN = 500
_BETWEEN_TAGS = re.compile(r"[\s,;]+")


class RangeForm(forms.Form):
    """Which tags to issue."""

    beginning = forms.CharField(
        label=gettext_lazy("Beginning of the tags"),
        help_text=gettext_lazy("Such as VH-. Letters, digits, dot, dash; no digit at the end."),
        max_length=40,
        widget=forms.TextInput(attrs={"autocapitalize": "characters", "autocomplete": "off"}),
    )
    count = forms.IntegerField(
        label=gettext_lazy("How many"), min_value=1, max_value=MOST_LABELS, initial=24
    )
    digits = forms.TypedChoiceField(
        label=gettext_lazy("Digits of the number"),
        help_text=gettext_lazy("Stays as it is for a beginning that you used before."),
        coerce=int,
        empty_value=None,
        required=False,
        choices=[
            ("", gettext_lazy("as before, else 4")),
            *((str(one), str(one)) for one in range(FEWEST_DIGITS, MOST_DIGITS + 1)),
        ],
    )


class PrintForm(forms.Form):
    """On what to print, from which label on, and how far the printer is off."""

    stock = forms.ChoiceField(label=gettext_lazy("Labels"))
    width = forms.CharField(label=gettext_lazy("Width of a label, in mm"), required=False)
    height = forms.CharField(label=gettext_lazy("Height of a label, in mm"), required=False)
    start = forms.IntegerField(
        label=gettext_lazy("First free label of the first sheet"),
        help_text=gettext_lazy("Counted line by line, so that a sheet already begun is used up."),
        min_value=1,
    )
    right = forms.CharField(
        label=gettext_lazy("Shift to the right"),
        help_text=gettext_lazy("In mm; less than zero is to the left."),
    )
    down = forms.CharField(
        label=gettext_lazy("Shift down"),
        help_text=gettext_lazy("In mm; less than zero is up."),
    )
    frames = forms.BooleanField(
        label=gettext_lazy("Print frames, to try it on plain paper first"), required=False
    )

    part = forms.IntegerField(min_value=1, max_value=1000, widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = [(stock.name, stock_words(stock)) for stock in (*SHEETS, *ROLLS)]
        stocks = self.fields["stock"]
        assert isinstance(stocks, forms.ChoiceField)  # noqa: S101 - for the types alone
        stocks.choices = [*choices, (FREE, _("Another roll, by the size of its labels"))]

    def clean_width(self) -> int | None:
        """Read the width of a free roll [um]."""
        return self._size("width", NARROWEST_MM, WIDEST_MM)

    def clean_height(self) -> int | None:
        """Read the height of a free roll [um]."""
        return self._size("height", LOWEST_MM, HIGHEST_MM)

    def clean_right(self) -> int:
        """Read the shift [um]."""
        return self._length("right", -MOST_SLIP_MM, MOST_SLIP_MM)

    def clean_down(self) -> int:
        """Read the shift [um]."""
        return self._length("down", -MOST_SLIP_MM, MOST_SLIP_MM)

    def _size(self, name: str, low_mm: int, high_mm: int) -> int | None:
        if self.cleaned_data.get("stock") != FREE:
            return None
        return self._length(name, low_mm, high_mm)

    def _length(self, name: str, low_mm: int, high_mm: int) -> int:
        try:
            length_mm = read_length_mm(str(self.cleaned_data[name]))
        except NotANumber as error:
            raise ValidationError(str(error)) from error
        if not low_mm <= length_mm <= high_mm:
            limits = {"low": low_mm, "high": high_mm}
            raise ValidationError(_("Between %(low)s and %(high)s mm.") % limits)
        return int((length_mm * MM).to_integral_value())

    def clean(self) -> dict[str, Any]:
        """A sheet begins with one of its labels."""
        given: dict[str, Any] = super().clean() or self.cleaned_data
        known = STOCKS.get(given.get("stock", ""))
        if known and given.get("start", 1) > known.count:
            sentence = ngettext(
                "Such a sheet has %(count)s label.",
                "Such a sheet has %(count)s labels.",
                known.count,
            )
            self.add_error("start", sentence % {"count": known.count})
        if not known and given.get("start", 1) > 1:
            self.add_error("start", _("A roll begins with its first label."))
        return given

    @property
    def chosen_stock(self) -> Stock:
        """What to print on."""
        given = self.cleaned_data
        return STOCKS.get(given["stock"]) or roll(given["width"], given["height"])

    @property
    def slip(self) -> Slip:
        """How far to shift."""
        return Slip(self.cleaned_data["right"], self.cleaned_data["down"])


DEFAULTS = {"stock": SHEETS[0].name, "start": "1", "right": "0", "down": "0", "part": "1"}


def stock_words(stock: Stock) -> str:
    """Describe stock by its dimensions, in the page's language."""
    size = {"width": _mm(stock.label_width_um), "height": _mm(stock.label_height_um)}
    if stock.is_roll:
        return _("Roll, labels of %(width)s by %(height)s mm") % size
    paper = "Letter" if stock.name.startswith("letter") else "A4"
    size |= {"paper": paper, "count": str(stock.count)}
    return _("%(paper)s, %(count)s labels of %(width)s by %(height)s mm") % size


def _mm(length_um: int) -> str:
    return plain(Decimal(length_um) / MM, 1 if length_um % MM else 0)


class AgainForm(forms.Form):
    """Which tags to print once more."""

    tags = forms.CharField(
        label=gettext_lazy("Tags to print again"),
        help_text=format_lazy(
            gettext_lazy("One or many, with blanks or commas between; at most {most}."),
            most=MOST_AGAIN,
        ),
        widget=forms.Textarea(attrs={"rows": 3, "autocapitalize": "characters"}),
    )

    def clean_tags(self) -> list[str]:
        """Read the tags, each once, in the order in which they were given."""
        given = [part for part in _BETWEEN_TAGS.split(str(self.cleaned_data["tags"])) if part]
        tags = list(dict.fromkeys(part.upper() for part in given))
        if not tags:
            raise ValidationError(_("Give at least one tag."))
        wrong = [tag for tag in tags if not _is_tag(tag)]
        if wrong:
            sentence = _("Not a tag: %(tags)s. Tags hold A to Z, 0 to 9, dot, dash and low line.")
            raise ValidationError(sentence % {"tags": ", ".join(wrong[:3])})
        if len(tags) > MOST_AGAIN:
            raise ValidationError(_("At most %(most)s at a time.") % {"most": MOST_AGAIN})
        return tags


def _is_tag(tag: str) -> bool:
    try:
        check_tag(tag, Mode())
    except PydanticCustomError:
        return False
    return True
