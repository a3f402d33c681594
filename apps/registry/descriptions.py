"""What a ski is by all its descriptions, field by field.

The word of the shop whose tag it is counts; what others say fills what it left open.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from apps.records.description import DescriptionBody
from apps.records.folding import Folded
from apps.records.reading import document_of

TEXT = "_text"


@dataclass(frozen=True, slots=True)
class Described:
    """What descriptions say together.

    Parameters
    ----------
    fields : dict
        The description in effect, as a document.
    sources : dict of str to str
        Id of the record that says it, for each field.
    """

    fields: dict[str, Any]
    sources: dict[str, str]


def described(effective: Iterable[Folded]) -> Described:
    """Lay the descriptions over each other: other shops' first, each in the order of time.

    So the latest word of the tag's own shop counts, and only where it says nothing, the latest of
    the others. A text that explains `other` goes with its word: it is dropped when another word
    replaces that one.
    """
    fields: dict[str, Any] = {}
    sources: dict[str, str] = {}
    for one in sorted(effective, key=_by_own_shop):
        body = one.content.body
        if isinstance(body, DescriptionBody):
            stated = document_of(body)
            for name in stated:
                fields.pop(f"{name}{TEXT}", None)
                sources.pop(f"{name}{TEXT}", None)
            fields |= stated
            sources |= dict.fromkeys(stated, one.content.source)
    return Described(fields, sources)


def _by_own_shop(one: Folded) -> bool:
    return one.record.author == one.record.ski.shop
