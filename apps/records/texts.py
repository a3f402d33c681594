"""Free text: normalised, readable, of a bounded length, without characters that mislead."""

from __future__ import annotations

import unicodedata

from apps.records.forms import Form, Mode, fault

LABEL_LENGTH = 200
REMARKS_LENGTH = 2000

_MISLEADING = frozenset(
    "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069\ufeff"
)
_REFUSED_CATEGORIES = frozenset({"Cc", "Cs", "Zl", "Zp"})


def character_name(character: str) -> str:
    """Name a character so that a person can find it: code point and Unicode name."""
    name = unicodedata.name(character, "control character")
    return f"U+{ord(character):04X} ({name.lower()})"


def refused_character(text: str, *, newlines: bool = False) -> str | None:
    """Find the first character that no text may hold, or None."""
    for character in text:
        if newlines and character == "\n":
            continue
        if character in _MISLEADING or unicodedata.category(character) in _REFUSED_CATEGORIES:
            return character
    return None


def text_form(limit: int, *, newlines: bool = False) -> Form:
    """Make the form of a free text of at most `limit` characters."""

    def check(value: str, mode: Mode) -> str:
        text = tidied(value, newlines=newlines) if mode.draft else value
        if len(text) > limit:
            raise fault("too-long", f"At most {limit} characters fit here; shorten the text.")
        character = refused_character(text, newlines=newlines)
        if character is not None:
            raise fault("refused-character", f"Take out the character {character_name(character)}.")
        return _readable(text)

    return Form(check, {"minLength": 1, "maxLength": limit})


def tidied(value: str, *, newlines: bool) -> str:
    """Mend what needs no asking: Unicode form NFC, line ends, blanks at both ends."""
    lines = value.replace("\r\n", "\n") if newlines else value
    return unicodedata.normalize("NFC", lines).strip()


def _readable(text: str) -> str:
    if not any(unicodedata.category(character)[0] not in "CZ" for character in text):
        raise fault("empty-text", "There is nothing to read here; leave the field out.")
    if text != text.strip():
        raise fault("not-trimmed", "Take away the blanks at the beginning and the end.")
    if not unicodedata.is_normalized("NFC", text):
        raise fault("not-nfc", "Normalise the text to Unicode form NFC.")
    return text
