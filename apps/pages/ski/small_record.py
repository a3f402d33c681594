"""Writing one small record by a page: whole or not at all, and once however often it is sent."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.conf import settings
from django.contrib import messages
from django.core.exceptions import NON_FIELD_ERRORS, ValidationError
from django.utils import timezone
from django.utils.translation import ngettext

from apps.pages.bench.faults import faults_of
from apps.pages.bench.on_bench import OnBench, lay_on_bench, tag_of
from apps.pages.visitor import PageRequest
from apps.pages.writing import SPENT, TOKEN, new_token, write_once
from apps.records.errors import InvalidRecord
from apps.records.reading import read_draft
from apps.registry.errors import IdempotencyMismatch, NotAllowed, RegistryError
from apps.registry.models import KeptKey

FIELDS = {"performed_at": "day"}
"""Members of a record that are called otherwise in the forms."""


class RecordForm(forms.Form):
    """Base of a form that becomes one record."""

    def __init__(self, data: Mapping[str, Any] | None = None, **kwargs: Any) -> None:
        super().__init__(data, label_suffix="", **kwargs)
        self.use_required_attribute = False

    @property
    def body(self) -> dict[str, Any]:
        """What was filled in, as the body of the record."""
        return {name: value for name, value in self.cleaned_data.items() if value != ""}


def own_on_bench(request: PageRequest, shop: str, tag: str) -> OnBench:
    """Read a ski of the visitor's own shop, and the other one of its pair.

    Raises
    ------
    UnknownTag, NotAllowed
    """
    bench = lay_on_bench(shop, tag, request.visitor)
    if tag_of(bench.ski).shop != request.visitor.shop:
        raise NotAllowed("Only the shop whose tag is on a ski writes its use and its status.")
    return bench


def sent(request: PageRequest) -> Mapping[str, Any] | None:
    """Give what was sent; None where the page is only opened."""
    return request.POST if request.method == "POST" else None


def token_of(request: PageRequest) -> str:
    """Give the token that the form came with, or one for a fresh form."""
    token = request.POST.get("once", "")
    return token if TOKEN.fullmatch(token) else new_token()


def about_form(request: PageRequest, form: RecordForm | None) -> dict[str, Any]:
    """Give what the template of a form shows beside its fields."""
    # A form that was written already and says something else now is a fresh one.
    spent = form is not None and form.has_error(NON_FIELD_ERRORS, "spent")
    return {
        "form": form,
        "token": new_token() if spent else token_of(request),
        "signs_itself": not KeptKey.objects.kept_for(request.visitor.shop).exists(),
    }


def write_small(
    request: PageRequest, form: RecordForm, kind: str, documents: Sequence[Mapping[str, Any]]
) -> bool:
    """Write what a form became, and say so; what is refused is put at its fields.

    Parameters
    ----------
    kind : str
        Kind of the records.
    documents : sequence of mapping
        `ski` and `body` of each, and what else its draft needs; the day is today where it
        gives none.

    Raises
    ------
    NotAllowed
        If the shop keeps its signing key itself.
    """
    try:
        drafts = [
            read_draft(kind, {**_today(), **one}, node_host=settings.NODE_HOST) for one in documents
        ]
        write_once(drafts, token=token_of(request), by=request.visitor.actor)
    except NotAllowed:
        raise
    except IdempotencyMismatch:
        form.add_error(None, _spent())
    except (InvalidRecord, RegistryError) as error:
        _put_back(form, error)
    else:
        messages.success(request, _written(len(documents)))
    return not form.errors


def _today() -> dict[str, str]:
    return {"performed_at": timezone.localdate().isoformat()}


def _spent() -> ValidationError:
    return ValidationError(SPENT, code="spent")


def _put_back(form: RecordForm, error: InvalidRecord | RegistryError) -> None:
    for fault in faults_of(error):
        member = fault.pointer.rpartition("/")[2]
        name = FIELDS.get(member, member)
        form.add_error(name if name in form.fields else None, fault.sentence)


def _written(number: int) -> str:
    text = ngettext("Written: %(number)s record.", "Written: %(number)s records.", number)
    return text % {"number": number}
