"""What a ski is, as descriptions say it: a name and a value a line."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.formats import number_format
from django.utils.functional import Promise
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from apps.pages.ski.said import said
from apps.records.description import DescriptionBody
from apps.records.reading import document_of

NAMES: Mapping[str, Promise] = {
    "maker_text": gettext_lazy("Maker"),
    "model_text": gettext_lazy("Model"),
    "model_year": gettext_lazy("Year of the model"),
    "length_mm": gettext_lazy("Length"),
    "shovel_width_mm": gettext_lazy("Width at the shovel"),
    "waist_width_mm": gettext_lazy("Width at the waist"),
    "tail_width_mm": gettext_lazy("Width at the tail"),
    "chord_mm": gettext_lazy("Chord between the widest points"),
    "declared_radius_m": gettext_lazy("Radius as printed"),
    "construction": gettext_lazy("Construction"),
    "base_material": gettext_lazy("Base material"),
    "base_colour": gettext_lazy("Base colour"),
    "centre_groove_width_mm": gettext_lazy("Width of the centre groove"),
    "use": gettext_lazy("Use"),
    "serial_text": gettext_lazy("Serial number"),
    "giai": gettext_lazy("Asset number (GIAI)"),
    "grai": gettext_lazy("Returnable asset number (GRAI)"),
}
WORDS = frozenset({"construction", "base_material", "base_colour", "use"})


@dataclass(frozen=True, slots=True)
class Fact:
    """One thing that a description says."""

    name: str
    value: str


def facts_of(fields: Mapping[str, Any]) -> tuple[Fact, ...]:
    """List what descriptions say together, in a fixed order.

    Parameters
    ----------
    fields : mapping
        A description as a document.
    """
    return tuple(_facts(fields))


def facts_of_body(body: DescriptionBody) -> tuple[Fact, ...]:
    """List what one description says."""
    return facts_of(document_of(body))


def _facts(fields: Mapping[str, Any]) -> Iterator[Fact]:
    for field, name in NAMES.items():
        if field in fields:
            yield Fact(str(name), _value(field, fields))


def _value(field: str, fields: Mapping[str, Any]) -> str:
    value = str(fields[field])
    if field in WORDS:
        return said(field, value, fields.get(f"{field}_text"))
    if field.endswith("_mm"):
        return _("%(number)s mm") % {"number": number_format(value)}
    if field.endswith("_m"):
        return _("%(number)s m") % {"number": number_format(value)}
    return value


def headline_of(fields: Mapping[str, Any]) -> str:
    """Name the ski as printed on it, with its length; "" where nobody said."""
    printed = (fields.get("maker_text"), fields.get("model_text"), fields.get("model_year"))
    terms = [str(one) for one in printed if one is not None]
    if "length_mm" in fields:
        terms.append(_("%(number)s mm") % {"number": fields["length_mm"]})
    return ", ".join(terms)
