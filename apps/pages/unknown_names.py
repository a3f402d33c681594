"""Names in an address that no field stands for: refused, since the answer would ignore them."""

from __future__ import annotations

from collections.abc import Iterable

from django import forms
from django.utils.translation import gettext as _

SHOWN = 40


def refuse_unknown(form: forms.Form, names: Iterable[str]) -> None:
    """Note a mistake of the form for each name that none of its fields has."""
    for name in names:
        if name not in form.fields:
            sentence = _("There is no field called “%(name)s” here.")
            form.add_error(None, sentence % {"name": name[:SHOWN]})
