"""Words of a record in the page's language, and the text that stands for another one."""

from __future__ import annotations

from apps.pages.words import word


def said(kind: str, value: str, text: str | None) -> str:
    """Give the word, or the text that the record gives where its word is `other`."""
    return text if text and value == "other" else word(kind, value)
