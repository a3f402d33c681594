"""What may be asked of the seasons to come."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any, cast

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from apps.pages.fleet.filters import FilterForm
from apps.pages.words import choices
from apps.registry.fleet_outlook import OutlookAsked
from apps.tuning.history import MaterialQuantity
from apps.tuning.wear_pace import UseForecast
from apps.tuning.wear_policy import Policy

MOST_MONTHS, MOST_PERCENT, MOST_DAYS = 120, 500, 400
USUAL_MONTHS = 36


class DaysField(forms.CharField):
    """Days out, with a point or a comma for decimals; None where the records are to say [d]."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(required=False, max_length=10, **kwargs)
        self.widget.attrs.setdefault("inputmode", "decimal")

    def clean(self, value: object) -> float | None:
        """Read it."""
        text = super().clean(value)
        if not text:
            return None
        try:
            days = Decimal(text.replace(",", "."))
            is_days = Decimal("0.1") <= days <= MOST_DAYS
        except ArithmeticError:
            is_days = False
        if not is_days:
            sentence = _("Give 0.1 to %(most)d days, or nothing.") % {"most": MOST_DAYS}
            raise ValidationError(sentence)
        return float(days)


def percent(label: Any, help_text: Any) -> forms.IntegerField:
    """Make a field of per cent of what is done now."""
    return forms.IntegerField(
        label=label,
        help_text=help_text,
        required=False,
        initial=100,
        min_value=0,
        max_value=MOST_PERCENT,
    )


class OutlookForm(FilterForm):
    """What runs out, how far to look, and how the shop would service instead."""

    quantity = forms.ChoiceField(
        label=gettext_lazy("What runs out"),
        required=False,
        initial="edge_height",
        choices=lambda: choices("material"),
    )
    months = forms.IntegerField(
        label=gettext_lazy("Months to look ahead"),
        required=False,
        initial=USUAL_MONTHS,
        min_value=2,
        max_value=MOST_MONTHS,
    )
    removal = percent(
        gettext_lazy("A service takes off, in per cent of now"),
        gettext_lazy("80 is a fifth less than now."),
    )
    services = percent(
        gettext_lazy("Services in a season, in per cent of now"),
        gettext_lazy("50 is half as many as now."),
    )
    days_a_season = DaysField(
        label=gettext_lazy("Days out in a season"),
        help_text=gettext_lazy("What you expect. Left open, the records say."),
    )
    days_a_service = DaysField(
        label=gettext_lazy("Days out from service to service"),
        help_text=gettext_lazy("What you expect. Left open, the records say."),
    )

    def asked(self, on: date) -> OutlookAsked:
        """Give what is asked to the registry."""
        given = self.cleaned_data
        factors = (self._usual(name, 100) / 100 for name in ("removal", "services"))
        forecast = UseForecast(given["days_a_season"], days_a_service=given["days_a_service"])
        quantity = cast("MaterialQuantity", given["quantity"] or "edge_height")
        months = self._usual("months", USUAL_MONTHS)
        return OutlookAsked(on, quantity, months, Policy(*factors), forecast)

    def _usual(self, name: str, usual: int) -> int:
        given: int | None = self.cleaned_data[name]
        return usual if given is None else given
