"""One record as it was signed: read, taken back by its author, disputed by another shop."""

from __future__ import annotations

from typing import cast

from django import forms
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from apps.pages.addresses import ski_path
from apps.pages.bench.fields import text_field, word_field
from apps.pages.bench.job_rows import CHOOSE
from apps.pages.forms import status_of
from apps.pages.ski.record import find_record, record_shown
from apps.pages.ski.small_record import RecordForm, about_form, write_small
from apps.pages.ski.views import find_ski
from apps.pages.visitor import PageRequest, Visitor, reader, writer
from apps.records.texts import REMARKS_LENGTH
from apps.registry.errors import WrongState
from apps.registry.joining import JoinedSki
from apps.registry.models import Record
from apps.registry.models.ski import shop_and_tag

UNDISPUTED = frozenset({"dispute", "retraction", "erasure"})
IN_WORDS = gettext_lazy("The reason in words, where it is another one")


class RetractionForm(RecordForm):
    """Why a shop takes its own record back."""

    kind = "retraction"

    reason = word_field("retraction_reason", gettext_lazy("Why"), blank=CHOOSE, required=True)
    reason_text = text_field(IN_WORDS)


class DisputeForm(RecordForm):
    """Why a shop doubts the record of another one."""

    kind = "dispute"

    reason = word_field("dispute_reason", gettext_lazy("Why"), blank=CHOOSE, required=True)
    reason_text = text_field(IN_WORDS)
    remarks = forms.CharField(
        label=gettext_lazy("What you found instead"),
        help_text=gettext_lazy(
            "No names and nothing else about people. Every shop that holds the tag reads it; a "
            "buyer with a link does not."
        ),
        required=False,
        max_length=REMARKS_LENGTH,
        widget=forms.Textarea(attrs={"rows": 3}),
    )


AmendingForm = RetractionForm | DisputeForm


@require_http_methods(["GET", "HEAD", "POST"])
@reader
def record(request: PageRequest, shop: str, tag: str, record_id: str) -> HttpResponseBase:
    """Show one record of a ski byte for byte, with what a writer may say about it."""
    ski = find_ski(request, shop, tag)
    found = find_record(ski, record_id)
    if request.method == "POST":
        return _sent(request, ski, found)
    kind = form_for(found, request.visitor)
    return _page(request, ski, found, kind() if kind else None)


def form_for(found: Record, who: Visitor) -> type[AmendingForm] | None:
    """Say which form a visitor gets for a record; None where nothing can be said about it."""
    # What was erased, or is of a later format, can't be read here, so nobody can mean it.
    if not who.may_write or found.erased_by or found.format != 1:
        return None
    if found.author == who.shop:
        return None if found.kind == "retraction" else RetractionForm
    return None if found.kind in UNDISPUTED else DisputeForm


@writer
def _sent(request: PageRequest, ski: JoinedSki, found: Record) -> HttpResponseBase:
    kind = form_for(found, request.visitor)
    if kind is None:
        raise WrongState("This record is final: nothing is written about it.")
    form = kind(request.POST)
    if form.is_valid() and _written(request, found, form):
        return redirect(ski_path(ski.tag.shop, ski.tag.tag))
    return _page(request, ski, found, form)


def _written(request: PageRequest, found: Record, form: AmendingForm) -> bool:
    # It names the tag that its target names, which may be another one on the same ski.
    shop, tag = shop_and_tag(cast("str", found.subject_id))
    document = {"ski": {"shop": shop, "tag": tag}, "refers_to": [found.id], "body": form.body}
    return write_small(request, form, form.kind, [document])


def _page(
    request: PageRequest, ski: JoinedSki, found: Record, form: AmendingForm | None
) -> HttpResponse:
    shown = {
        **about_form(request, form),
        "record": record_shown(found),
        "ski": ski.tag,
        "is_own": isinstance(form, RetractionForm),
        "is_job": found.kind == "job",
        "taken_back": _taken_back(found),
    }
    status = 200 if form is None else status_of(form)
    return render(request, "pages/ski/record.html", shown, status=status)


def _taken_back(found: Record) -> bool:
    retractions = Record.objects.readable().of_kind("retraction").written_by(found.author)
    return retractions.filter(target=found.id).exists()
