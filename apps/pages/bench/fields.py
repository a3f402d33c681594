"""Fields of the bench's forms: numbers as people write them, within the limits of the schema."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import Any, get_args

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from pydantic import BaseModel
from pydantic.fields import FieldInfo

from apps.pages.numbers import (
    NotANumber,
    Unit,
    between,
    length,
    plain,
    read_degrees,
    read_length_mm,
)
from apps.pages.words import choices
from apps.records.decimals import FixedStep

NOT_SAID = gettext_lazy("not said")
RIGHT_ANGLE_DEG = Decimal(90)
LEAST_SIDE_ANGLE_DEG = Decimal(80)


def fixed_step(model: type[BaseModel], name: str) -> FixedStep:
    """Give step and range of a decimal of the schema, so that no form has limits of its own."""
    return next(part for part in _parts_of(model, name) if isinstance(part, FixedStep))


def limits(model: type[BaseModel], name: str) -> tuple[int, int]:
    """Give least and greatest value of a whole number of the schema."""
    low, high = (
        next(int(getattr(part, end)) for part in _parts_of(model, name) if hasattr(part, end))
        for end in ("ge", "le")
    )
    return low, high


def _parts_of(model: type[BaseModel], name: str) -> Iterator[object]:
    field = model.model_fields[name]
    yield from field.metadata
    yield from _parts_in(field.annotation)


def _parts_in(annotation: object) -> Iterator[object]:
    for part in get_args(annotation):
        if isinstance(part, FieldInfo):
            yield from part.metadata
        yield part
        yield from _parts_in(part)


class StepField(forms.CharField):
    """A decimal with the step and range of the schema; gives a Decimal, None where empty."""

    def __init__(self, step: FixedStep, **kwargs: Any) -> None:
        self.step = step
        self.unit: Unit = "mm"
        kwargs.setdefault("required", False)
        super().__init__(max_length=40, **kwargs)
        self.widget.attrs.setdefault("inputmode", "decimal")
        self.widget.attrs.setdefault("autocomplete", "off")

    def clean(self, value: object) -> Decimal | None:
        """Read what was typed."""
        text = super().clean(value)
        if not text:
            return None
        try:
            number = self.read(text)
        except NotANumber as error:
            raise ValidationError(str(error)) from None
        self._check(number)
        return number

    def read(self, text: str) -> Decimal:
        """Read one number in the unit of the step."""
        return read_number(text)

    def shown(self, number: Decimal) -> str:
        """Write a number of this field with its unit."""
        return plain(number, self.step.decimals)

    def shown_range(self) -> str:
        """Write the range of this field."""
        low, high = (self.shown(Decimal(one)) for one in (self.step.low, self.step.high))
        return _("%(low)s to %(high)s") % {"low": low, "high": high}

    def _check(self, number: Decimal) -> None:
        if not Decimal(self.step.low) <= number <= Decimal(self.step.high):
            sentence = _("Give %(range)s.") % {"range": self.shown_range()}
            raise ValidationError(sentence)
        if number % Decimal(self.step.step):
            step = self.shown(Decimal(self.step.step))
            raise ValidationError(_("Round it to %(step)s.") % {"step": step})


class LengthField(StepField):
    """A small length; a number alone is in the visitor's unit. Gives [mm]."""

    def read(self, text: str) -> Decimal:
        """Read one length [mm]."""
        return read_length_mm(text, self.unit)

    def shown(self, number: Decimal) -> str:
        """Write a length with its unit."""
        return length(number, self.unit, self.step.decimals)

    def shown_range(self) -> str:
        """Write the range of this field."""
        return between(
            Decimal(self.step.low), Decimal(self.step.high), self.unit, self.step.decimals
        )


class MillimetreField(LengthField):
    """A length that everybody gives in mm, such as the width of a ski; gives [mm]."""

    def read(self, text: str) -> Decimal:
        """Read one length [mm]."""
        return read_length_mm(text, "mm")

    def shown(self, number: Decimal) -> str:
        """Write a length with its unit."""
        return length(number, "mm", self.step.decimals)

    def shown_range(self) -> str:
        """Write the range of this field."""
        low, high = Decimal(self.step.low), Decimal(self.step.high)
        return between(low, high, "mm", self.step.decimals)


class BevelField(StepField):
    """A bevel [deg]."""

    def read(self, text: str) -> Decimal:
        """Read one angle [deg]."""
        return read_degrees(text)

    def shown(self, number: Decimal) -> str:
        """Write an angle with its unit."""
        return f"{plain(number, self.step.decimals)}°"


class SideField(BevelField):
    """The side of an edge as a bevel or as an angle: 88 is a bevel of 2; gives the bevel [deg]."""

    def read(self, text: str) -> Decimal:
        """Read one bevel from square [deg]."""
        number = super().read(text)
        is_angle = LEAST_SIDE_ANGLE_DEG <= number <= RIGHT_ANGLE_DEG
        return RIGHT_ANGLE_DEG - number if is_angle else number

    def shown_range(self) -> str:
        """Write the range of this field, both ways."""
        return _("a bevel of 0° to 10° or an angle of 80° to 90°")


def read_number(text: str) -> Decimal:
    """Read a number without a unit, with a point or a comma.

    Raises
    ------
    NotANumber
    """
    number = read_degrees(text)
    if text.strip()[-1:] not in "0123456789.,":
        raise NotANumber(_("Write the number alone, without a unit."))
    return number


def whole_field(low: int, high: int, **kwargs: Any) -> forms.IntegerField:
    """Give a field for a whole number; no arrows, since a wheel turned over it would change it."""
    kwargs.setdefault("required", False)
    widget = forms.TextInput(attrs={"inputmode": "numeric", "autocomplete": "off"})
    return forms.IntegerField(min_value=low, max_value=high, widget=widget, **kwargs)


def text_field(label: Any, **kwargs: Any) -> forms.CharField:
    """Give a field for a short text."""
    kwargs.setdefault("required", False)
    field = forms.CharField(label=label, max_length=200, **kwargs)
    field.widget.attrs["autocomplete"] = "off"
    return field


def word_field(
    kind: str, label: Any, *, without: tuple[str, ...] = (), blank: Any = NOT_SAID, **kwargs: Any
) -> forms.ChoiceField:
    """Give a field for a word of a closed list, in the visitor's language.

    Parameters
    ----------
    kind : str
        Name of the list in `apps.pages.words`.
    label : str
    without : tuple of str
        Words that make no sense here.
    blank : str or None
        What stands for no answer; None where one is needed.
    """
    kwargs.setdefault("required", False)

    # Called for each form, since the language is the visitor's.
    def listed() -> list[tuple[str, Any]]:
        words = [(value, text) for value, text in choices(kind) if value not in without]
        return words if blank is None else [("", blank), *words]

    return forms.ChoiceField(label=label, choices=listed, **kwargs)
