"""Recording which other ski a ski is used together with."""

from __future__ import annotations

from django import forms
from django.conf import settings
from django.http import HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy
from django.views.decorators.http import require_http_methods

from apps.pages.addresses import ski_path
from apps.pages.forms import status_of
from apps.pages.ski.unknown import unknown_ski
from apps.pages.ski.views import find_ski
from apps.pages.typed_tag import read_typed
from apps.pages.visitor import PageRequest, writer
from apps.records.errors import InvalidRecord
from apps.records.place import SkiTag
from apps.records.reading import read_draft
from apps.registry.actions import write_drafts
from apps.registry.errors import NotAllowed, UnknownTag
from apps.registry.joining import JoinedSki
from apps.registry.pairings import pairs_of

LONGEST_TYPED = 500


class PairForm(forms.Form):
    """The other ski, as its label says it."""

    tag = forms.CharField(
        label=gettext_lazy("Tag of the other ski"),
        help_text=gettext_lazy("Scan its label or type its tag. The ski must be registered."),
        max_length=LONGEST_TYPED,
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "autocapitalize": "characters", "autofocus": True}
        ),
    )


@require_http_methods(["GET", "HEAD", "POST"])
@writer
def pair(request: PageRequest, shop: str, tag: str) -> HttpResponseBase:
    """Ask for the other ski of a pair, write it down, and lead to both on the bench."""
    try:
        ski = find_ski(request, shop, tag)
    except UnknownTag:
        return unknown_ski(request, shop, tag)
    if ski.tag.shop != request.visitor.shop:
        raise NotAllowed("Only the shop whose tag is on a ski records its pair.")
    form = PairForm(request.POST or None, label_suffix="")
    if form.is_valid() and _written(request, ski, form):
        return redirect(ski_path(ski.tag.shop, ski.tag.tag, "bench-ski"))
    return _page(request, ski, form)


def _page(request: PageRequest, ski: JoinedSki, form: PairForm) -> HttpResponse:
    shown = {"form": form, "ski": ski.tag, "paired": next(iter(pairs_of(ski)), None)}
    return render(request, "pages/ski/pair.html", shown, status=status_of(form))


def _written(request: PageRequest, ski: JoinedSki, form: PairForm) -> bool:
    typed = form.cleaned_data["tag"]
    try:
        other = read_typed(typed, own=request.visitor.shop, host=request.get_host())
        _write(request, ski, other)
    except UnknownTag:
        form.add_error("tag", _("No ski here has this tag. Register it first."))
    except InvalidRecord:
        form.add_error("tag", _("This is the tag of the ski itself. Give the other one's."))
    return not form.errors


def _write(request: PageRequest, ski: JoinedSki, other: SkiTag) -> None:
    # A form that is sent twice says the same twice, and once is enough.
    if [(one.shop, one.tag) for one in pairs_of(ski)][:1] == [(other.shop, other.tag)]:
        return
    document = {
        "ski": {"shop": ski.tag.shop, "tag": ski.tag.tag},
        "performed_at": timezone.localdate().isoformat(),
        "body": {"other_ski": {"shop": other.shop, "tag": other.tag}},
    }
    draft = read_draft("pair", document, node_host=settings.NODE_HOST)
    write_drafts(drafts=[draft], by=request.visitor.actor)
