"""Stating where a ski stands in its shop."""

from __future__ import annotations

from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from apps.pages.addresses import ski_path
from apps.pages.bench.fields import text_field, word_field
from apps.pages.bench.job_rows import CHOOSE
from apps.pages.bench.on_bench import OnBench, tag_of
from apps.pages.forms import status_of
from apps.pages.ski.small_record import RecordForm, about_form, own_on_bench, sent, write_small
from apps.pages.ski.unknown import unknown_ski
from apps.pages.visitor import PageRequest, writer
from apps.pages.words import word
from apps.registry.errors import UnknownTag


class StatusForm(RecordForm):
    """The status from today on, and why."""

    status = word_field("status", gettext_lazy("Status from now on"), blank=CHOOSE, required=True)
    reason = word_field(
        "status_reason",
        gettext_lazy("Why"),
        help_text=gettext_lazy("Needed when the ski is retired."),
    )
    reason_text = text_field(gettext_lazy("The reason in words, where it is another one"))


@require_http_methods(["GET", "HEAD", "POST"])
@writer
def status(request: PageRequest, shop: str, tag: str) -> HttpResponseBase:
    """Ask for the status of a ski, and write it down."""
    try:
        bench = own_on_bench(request, shop, tag)
    except UnknownTag:
        return unknown_ski(request, shop, tag)
    ski, form = tag_of(bench.ski), StatusForm(sent(request))
    if form.is_valid():
        document = {"ski": {"shop": ski.shop, "tag": ski.tag}, "body": form.body}
        if write_small(request, form, "status", [document]):
            return redirect(ski_path(ski.shop, ski.tag))
    return _page(request, form, bench)


def _page(request: PageRequest, form: StatusForm, bench: OnBench) -> HttpResponse:
    now = bench.ski.condition.status
    shown = {
        **about_form(request, form),
        "ski": tag_of(bench.ski),
        "now": word("status", now.status) if now else "",
    }
    return render(request, "pages/ski/status.html", shown, status=status_of(form))
