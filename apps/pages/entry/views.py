"""The way in and out, the first page, and what people choose for themselves."""

from __future__ import annotations

from http import HTTPStatus
from typing import cast

from django import forms
from django.conf import settings
from django.contrib import messages
from django.contrib.auth import login, logout, update_session_auth_hash
from django.contrib.auth.models import User
from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_POST, require_safe

from apps.pages.entry.forms import EntryForm, PasswordForm, UnitForm
from apps.pages.entry.language import (
    kept_language,
    language_code,
    remember_language,
    way_back,
)
from apps.pages.entry.tries import PERIOD_S, forget_tries, may_try
from apps.pages.forms import status_of
from apps.pages.refusals import page as refusal
from apps.pages.visitor import PageRequest, member_of, person, reader
from apps.registry.errors import WeakPassword, WrongPassword
from apps.registry.people import change_own_password, set_taste


@require_safe
def home(request: PageRequest) -> HttpResponse:
    """Say what this is, and lead on."""
    return render(request, "pages/entry/home.html", {"node_host": settings.NODE_HOST})


@sensitive_post_parameters("password")
def enter(request: PageRequest) -> HttpResponse:
    """Let someone in who knows a name's password."""
    onward = way_back(request, reverse("pages:home"))
    if not request.visitor.is_guest:
        return HttpResponseRedirect(onward)
    if request.method != "POST":
        return _entry(request, EntryForm(request), onward)
    name = request.POST.get("username", "")
    if not may_try(request, name):
        again = EntryForm(request, initial={"username": name})
        return _held_back(request, "pages/entry/enter.html", again, onward)
    form = EntryForm(request, request.POST)
    if not form.is_valid():
        return _entry(request, form, onward)
    forget_tries(request, name)
    return _let_in(request, form.get_user(), onward)


def _entry(request: PageRequest, form: EntryForm, onward: str) -> HttpResponse:
    shown = {"form": form, "next": onward}
    return render(request, "pages/entry/enter.html", shown, status=status_of(form))


def _held_back(
    request: PageRequest, template: str, form: forms.Form, onward: str = ""
) -> HttpResponse:
    shown = {"form": form, "next": onward, "minutes": PERIOD_S // 60}
    response = render(request, template, shown, status=HTTPStatus.TOO_MANY_REQUESTS)
    response.headers["Retry-After"] = str(PERIOD_S)
    return response


def _let_in(request: PageRequest, user: User, onward: str) -> HttpResponse:
    login(request, user)
    response = HttpResponseRedirect(onward)
    member = member_of(user)
    code = language_code(member.language) if member else ""
    if code:
        remember_language(response, code)
    return response


def _name(request: PageRequest) -> str:
    return cast("User", request.user).get_username()


@require_POST
def leave(request: PageRequest) -> HttpResponse:
    """End the session."""
    logout(request)
    return redirect("pages:home")


@require_POST
def language(request: PageRequest) -> HttpResponse:
    """Go on in another language, and keep it."""
    code = request.POST.get("language", "")
    if code not in dict(settings.LANGUAGES):
        return refusal(request, HTTPStatus.BAD_REQUEST)
    if request.visitor.member is not None:
        set_taste(username=_name(request), language=kept_language(code))
    response = HttpResponseRedirect(way_back(request, reverse("pages:home")))
    remember_language(response, code)
    return response


@reader
def own(request: PageRequest) -> HttpResponse:
    """Show and take what a person chooses for themselves."""
    form = UnitForm(request.POST or None, initial={"unit": request.visitor.unit})
    if request.method == "POST" and form.is_valid():
        set_taste(username=_name(request), unit=form.cleaned_data["unit"])
        messages.success(request, _("Kept."))
        return redirect("pages:own")
    return render(request, "pages/entry/own.html", {"form": form}, status=status_of(form))


@person
@sensitive_post_parameters("old", "new", "again")
def password(request: PageRequest) -> HttpResponse:
    """Change one's own password; other sessions of the person end."""
    form = PasswordForm(request.POST or None)
    if request.method == "POST":
        if not may_try(request, _name(request)):
            return _held_back(request, "pages/entry/password.html", PasswordForm())
        if form.is_valid() and _is_changed(request, form):
            messages.success(request, _("Your password is changed."))
            return redirect("pages:home")
    return render(request, "pages/entry/password.html", {"form": form}, status=status_of(form))


def _is_changed(request: PageRequest, form: PasswordForm) -> bool:
    old, new = form.cleaned_data["old"], form.cleaned_data["new"]
    try:
        change_own_password(username=_name(request), old=old, new=new)
    except WrongPassword:
        form.add_error("old", _("That is not the password you have now."))
    except WeakPassword as error:
        form.add_error("new", list(error.reasons.values()))
    else:
        forget_tries(request, _name(request))
        # The session that changed it goes on; all others of this person end.
        user = cast("User", request.user)
        user.refresh_from_db()
        update_session_auth_hash(request, user)
    return not form.errors
