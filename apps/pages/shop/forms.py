"""The forms of the shop: people, API keys, links for buyers."""

from __future__ import annotations

from datetime import timedelta

from django import forms
from django.utils.translation import gettext_lazy as _

from apps.registry.actions import DEFAULT_KEY_LIFE, LONGEST_KEY_LIFE
from apps.registry.actors import SHOP_SCOPES, Scope
from apps.registry.sharing import LONGEST_SHARE_DAYS

ROLES = [
    ("technician", _("Technician: reads and writes")),
    ("reader", _("Reader: reads")),
    ("owner", _("Owner: reads, writes, keeps people and keys")),
]
SCOPES = [
    (str(Scope.READ), _("read")),
    (str(Scope.WRITE), _("write records")),
    (str(Scope.KEYS), _("keep the shop's own signing keys")),
]


class PersonForm(forms.Form):
    """Somebody who is let into the shop."""

    username = forms.CharField(
        label=_("Name for logging in"),
        help_text=_("A nickname. It never goes into a record."),
        max_length=32,
        widget=forms.TextInput(attrs={"autocapitalize": "none", "autocomplete": "off"}),
    )
    role = forms.ChoiceField(label=_("Role"), choices=ROLES)
    alias = forms.CharField(
        label=_("Alias in records"),
        help_text=_("Records are for good, so choose one that names nobody, such as T4."),
        max_length=32,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )


class KeyForm(forms.Form):
    """A key for one of the shop's programs."""

    scopes = forms.MultipleChoiceField(
        label=_("What it allows"),
        choices=SCOPES,
        initial=[str(Scope.READ), str(Scope.WRITE)],
        widget=forms.CheckboxSelectMultiple,
    )
    days = forms.IntegerField(
        label=_("Days it is valid"),
        min_value=1,
        max_value=LONGEST_KEY_LIFE.days,
        initial=DEFAULT_KEY_LIFE.days,
    )

    @property
    def chosen_scopes(self) -> frozenset[Scope]:
        """What it allows."""
        return SHOP_SCOPES & {Scope(one) for one in self.cleaned_data["scopes"]}

    @property
    def lasts(self) -> timedelta:
        """How long it is valid."""
        return timedelta(days=self.cleaned_data["days"])


class ShareForm(forms.Form):
    """A link to one ski."""

    tag = forms.CharField(
        label=_("Tag of the ski"),
        max_length=40,
        widget=forms.TextInput(attrs={"autocapitalize": "characters", "autocomplete": "off"}),
    )
    days = forms.IntegerField(
        label=_("Days it is valid"),
        min_value=1,
        max_value=LONGEST_SHARE_DAYS,
        initial=LONGEST_SHARE_DAYS,
    )

    def clean_tag(self) -> str:
        """Take small letters too."""
        return str(self.cleaned_data["tag"]).strip().upper()
