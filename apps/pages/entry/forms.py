"""The forms of the entry: log in, change one's password, choose a unit."""

from __future__ import annotations

from typing import Any

from django import forms
from django.contrib.auth.forms import AuthenticationForm
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from apps.pages.visitor import member_of
from apps.registry.people import nickname_meant


class EntryForm(AuthenticationForm):
    """A name and a password."""

    error_messages = {
        "invalid_login": _("This name and this password don't belong together."),
        "inactive": _("This name and this password don't belong together."),
        "nowhere": _("This name belongs to no shop any more. Ask the owner of your shop."),
    }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["username"].label = _("Name")
        self.fields["password"].label = _("Password")

    def clean_username(self) -> str:
        """Take the name as it was meant."""
        return nickname_meant(self.cleaned_data["username"])

    def confirm_login_allowed(self, user: User) -> None:
        """Let in only who is of a shop, or keeps the node."""
        super().confirm_login_allowed(user)
        if not user.is_superuser and member_of(user) is None:
            raise ValidationError(self.error_messages["nowhere"], code="nowhere")


class PasswordForm(forms.Form):
    """A password in place of the one there is."""

    old = forms.CharField(
        label=_("Password you have now"),
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )
    new = forms.CharField(
        label=_("New password"),
        help_text=_("Ten characters or more, and none that is often used."),
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )
    again = forms.CharField(
        label=_("New password once more"),
        strip=False,
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )

    def clean(self) -> dict[str, Any]:
        """Both new ones are the same."""
        given: dict[str, Any] = super().clean() or self.cleaned_data
        if {"new", "again"} <= given.keys() and given["new"] != given["again"]:
            self.add_error("again", _("This is another one than above."))
        return given


class UnitForm(forms.Form):
    """In which unit small lengths are shown."""

    unit = forms.ChoiceField(
        label=_("Small lengths in"),
        choices=[
            ("mm", _("millimetres, such as 0.50 mm")),
            ("um", _("micrometres, such as 500 µm")),
        ],
        widget=forms.RadioSelect,
    )
