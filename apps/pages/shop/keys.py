"""The keys that let the shop's programs in, kept by its owners."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from apps.pages.forms import status_of
from apps.pages.shop.forms import SCOPES, KeyForm
from apps.pages.shop.refused import refusal
from apps.pages.shop.shown_once import forget_shown, show_once, shown
from apps.pages.visitor import PageRequest, owner
from apps.registry.actions import issue_api_key, revoke_api_key
from apps.registry.errors import KeyLimit
from apps.registry.models import ApiKey

SHOWN = 30


@owner
def keys(request: PageRequest) -> HttpResponse:
    """Show the keys, and make one."""
    form = KeyForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        made = _made(request, form)
        if made is not None:
            return made
    rows = ApiKey.objects.filter(shop=request.visitor.shop).order_by("-created_at", "prefix")
    words = {scope: str(word) for scope, word in SCOPES}
    context: dict[str, Any] = {
        "form": form,
        "keys": [(key, [words[one] for one in key.scopes.split()]) for key in rows[:SHOWN]],
        "now": timezone.now(),
        "token": shown(request),
    }
    page = render(request, "pages/shop/keys.html", context, status=status_of(form))
    return forget_shown(request, page)


def _made(request: PageRequest, form: KeyForm) -> HttpResponse | None:
    try:
        issued = issue_api_key(
            shop=request.visitor.shop,
            scopes=form.chosen_scopes,
            by=request.visitor.actor,
            lasts=form.lasts,
        )
    except KeyLimit as error:
        form.add_error(None, refusal(error))
        return None
    path = reverse("pages:keys")
    return show_once(redirect(path), path, issued.token)


@require_POST
@owner
def revoke(request: PageRequest, prefix: str) -> HttpResponse:
    """End a key at once."""
    revoke_api_key(prefix=prefix, by=request.visitor.actor)
    messages.success(request, _("The key %(key)s is revoked. It opens nothing.") % {"key": prefix})
    return redirect("pages:keys")
