"""The people of a shop, kept by its owners."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from http import HTTPStatus
from typing import Any, cast

from django.contrib import messages
from django.contrib.auth.models import User
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from apps.pages.forms import status_of
from apps.pages.shop.forms import ROLES, PersonForm
from apps.pages.shop.passwords import new_password
from apps.pages.shop.refused import refusal
from apps.pages.shop.shown_once import forget_shown, show_once, shown
from apps.pages.visitor import PageRequest, owner
from apps.registry.errors import InvalidSetting, LastOwner, PersonExists, UnknownPerson
from apps.registry.models import Member
from apps.registry.people import (
    add_member,
    change_alias,
    change_password,
    change_role,
    remove_member,
)


@dataclass(frozen=True, slots=True)
class _Wrong:
    """What is wrong with a change of one person, shown beside that person."""

    username: str = ""
    sentence: str = ""


@owner
def people(request: PageRequest) -> HttpResponse:
    """Show who is of the shop, and let in somebody new."""
    form = PersonForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        added = _added(request, form)
        if added is not None:
            return added
    return forget_shown(request, _people(request, form, _Wrong(), status_of(form)))


def _people(request: PageRequest, form: PersonForm, wrong: _Wrong, status: int) -> HttpResponse:
    name, _sep, password = shown(request).partition(" ")
    rows = list(Member.objects.of_shop(request.visitor.shop))
    listed = {member.user.get_username() for member in rows}
    context: dict[str, Any] = {
        "form": form,
        "people": rows,
        "unlisted": bool(wrong.sentence) and wrong.username not in listed,
        "roles": ROLES,
        "wrong": wrong,
        "new_name": name,
        "new_password": password,
    }
    return render(request, "pages/shop/people.html", context, status=status)


def _added(request: PageRequest, form: PersonForm) -> HttpResponse | None:
    password = new_password()
    try:
        member = add_member(
            shop=request.visitor.shop,
            password=password,
            by=request.visitor.actor,
            **form.cleaned_data,
        )
    except (InvalidSetting, PersonExists) as error:
        form.add_error(error.pointer.removeprefix("/") or None, refusal(error))
        return None
    return _with_password(member.user.get_username(), password)


def _with_password(username: str, password: str) -> HttpResponse:
    path = reverse("pages:people")
    return show_once(redirect(path), path, f"{username} {password}")


def _changed(
    request: PageRequest, username: str, change: Callable[[], object], done: str
) -> HttpResponse:
    """Change one person; what speaks against it stands beside that person."""
    try:
        change()
    except (InvalidSetting, PersonExists, LastOwner, UnknownPerson) as error:
        wrong = _Wrong(username, refusal(error))
        return _people(request, PersonForm(), wrong, HTTPStatus.UNPROCESSABLE_ENTITY)
    messages.success(request, done)
    # Who gave up the own role may not see the list any more.
    is_own = username == cast("User", request.user).get_username()
    return redirect("pages:home" if is_own else "pages:people")


@require_POST
@owner
def role(request: PageRequest, username: str) -> HttpResponse:
    """Give a person another role."""
    by, wanted = request.visitor.actor, request.POST.get("role", "")
    return _changed(
        request,
        username,
        lambda: change_role(username=username, role=wanted, by=by),
        _("%(name)s has another role now.") % {"name": username},
    )


@require_POST
@owner
def alias(request: PageRequest, username: str) -> HttpResponse:
    """Give a person another alias for records to come."""
    by, wanted = request.visitor.actor, request.POST.get("alias", "").strip()
    return _changed(
        request,
        username,
        lambda: change_alias(username=username, alias=wanted, by=by),
        _("Records to come call %(name)s by the new alias.") % {"name": username},
    )


@require_POST
@owner
def password(request: PageRequest, username: str) -> HttpResponse:
    """Make a new password for a person who lost it, and show it once."""
    made = new_password()
    try:
        change_password(username=username, password=made, by=request.visitor.actor)
    except UnknownPerson as error:
        wrong = _Wrong(username, refusal(error))
        return _people(request, PersonForm(), wrong, HTTPStatus.UNPROCESSABLE_ENTITY)
    return _with_password(username, made)


@require_http_methods(["GET", "HEAD", "POST"])
@owner
def remove(request: PageRequest, username: str) -> HttpResponse:
    """Ask once more, then let a person in no more."""
    if request.method != "POST":
        return _asked_once_more(request, username)
    by = request.visitor.actor
    return _changed(
        request,
        username,
        lambda: remove_member(username=username, by=by),
        _("%(name)s is let in no more. Every session has ended.") % {"name": username},
    )


def _asked_once_more(request: PageRequest, username: str) -> HttpResponse:
    rows = Member.objects.of_shop(request.visitor.shop)
    member = rows.filter(user__username=username).first()
    if member is None:
        wrong = _Wrong(username, refusal(UnknownPerson(username)))
        return _people(request, PersonForm(), wrong, HTTPStatus.NOT_FOUND)
    return render(request, "pages/shop/remove.html", {"member": member})
