"""Reporting how many days a ski was out."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from apps.pages.addresses import ski_path
from apps.pages.bench.fields import limits, whole_field
from apps.pages.bench.on_bench import OnBench, tag_of
from apps.pages.forms import status_of
from apps.pages.ski.keeping import days_text
from apps.pages.ski.small_record import RecordForm, about_form, own_on_bench, sent, write_small
from apps.pages.ski.unknown import unknown_ski
from apps.pages.visitor import PageRequest, writer
from apps.records.keeping import UsageBody
from apps.records.place import SkiTag
from apps.registry.errors import UnknownTag


class UseForm(RecordForm):
    """Days out, up to which day, and of which skis.

    Parameters
    ----------
    data : mapping, optional
        What was sent.
    other : SkiTag, optional
        The other ski of the pair, where it is the shop's own.
    """

    days = whole_field(
        *limits(UsageBody, "days"),
        required=True,
        label=gettext_lazy("Days out since the last report"),
        help_text=gettext_lazy("Whole days on snow; a day begun counts. 0 says that it stood."),
    )
    day = forms.DateField(
        label=gettext_lazy("Day of the report"),
        widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"),
        input_formats=["%Y-%m-%d"],
        initial=timezone.localdate,
    )
    both = forms.BooleanField(required=False, initial=True)

    def __init__(self, data: Mapping[str, Any] | None = None, *, other: SkiTag | None) -> None:
        super().__init__(data)
        if other is None:
            del self.fields["both"]
        else:
            label = _("The same for %(tag)s, the other ski of the pair")
            self.fields["both"].label = label % {"tag": other.tag}

    def clean_day(self) -> date:
        """Refuse a day that has not come."""
        day: date = self.cleaned_data["day"]
        if day > timezone.localdate():
            raise ValidationError(_("This day lies in the future."))
        return day


@require_http_methods(["GET", "HEAD", "POST"])
@writer
def use(request: PageRequest, shop: str, tag: str) -> HttpResponseBase:
    """Ask for days out, and write them down for a ski and the other one of its pair."""
    try:
        bench = own_on_bench(request, shop, tag)
    except UnknownTag:
        return unknown_ski(request, shop, tag)
    ski, other = tag_of(bench.ski), _own_other(bench)
    form = UseForm(sent(request), other=other)
    if form.is_valid() and _written(request, form, ski, other):
        return redirect(ski_path(ski.shop, ski.tag))
    return _page(request, form, bench)


def _own_other(bench: OnBench) -> SkiTag | None:
    other = tag_of(bench.other) if bench.other else None
    return other if other and other.shop == tag_of(bench.ski).shop else None


def _written(request: PageRequest, form: UseForm, ski: SkiTag, other: SkiTag | None) -> bool:
    both = other is not None and form.cleaned_data["both"]
    report = {
        "performed_at": form.cleaned_data["day"].isoformat(),
        "body": {"days": form.cleaned_data["days"]},
    }
    skis = [one for one in (ski, other if both else None) if one is not None]
    documents = [{**report, "ski": {"shop": one.shop, "tag": one.tag}} for one in skis]
    return write_small(request, form, "usage", documents)


def _page(request: PageRequest, form: UseForm, bench: OnBench) -> HttpResponse:
    shown = {
        **about_form(request, form),
        "ski": tag_of(bench.ski),
        "so_far": days_text(bench.ski.condition.use),
    }
    return render(request, "pages/ski/use.html", shown, status=status_of(form))
