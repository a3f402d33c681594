"""A character after a tag that shows most slips of reading and typing (ISO/IEC 7064 MOD 37,36)."""

from __future__ import annotations

ALPHABET = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_RADIX = len(ALPHABET)
_VALUES = {character: value for value, character in enumerate(ALPHABET)}


def check_character(text: str) -> str:
    """Give the check character of a text.

    Parameters
    ----------
    text : str
        Capitals and digits count; full stops, low lines and hyphens are left out, since people
        leave them out too when they read a tag aloud.

    Returns
    -------
    str
        One capital or digit.

    Raises
    ------
    ValueError
        If there is nothing to count, or a character that no tag holds.

    Notes
    -----
    The hybrid system MOD 37,36 of ISO/IEC 7064 shows every single character that is taken for
    another. Of the 630 pairs that two neighbours in the text can be, it misses the swap of one;
    which one depends on what stands before, and its two characters follow each other in the
    alphabet of digits and capitals (0 follows Z). Two slips at once it may miss.
    """
    rest = _recurrence(text)
    return ALPHABET[(1 - rest) % _RADIX]


def check_character_fits(text: str) -> bool:
    """Say whether the last character of a text is the check character of what stands before it.

    Raises
    ------
    ValueError
        As `check_character` does.
    """
    return check_character(text[:-1]) == text[-1:]


def _recurrence(text: str) -> int:
    """The rest to which the check character is added, so that the sum is 1 modulo 36."""
    counted = [_value(character) for character in text if character not in "._-"]
    if not counted:
        raise ValueError("Give at least one capital or digit.")
    rest = _RADIX
    for value in counted:
        # A sum of 0 modulo 36 counts as 36, never as 0: else what follows would not matter.
        rest = ((rest + value) % _RADIX or _RADIX) * 2 % (_RADIX + 1)
    return rest


def _value(character: str) -> int:
    if character not in _VALUES:
        raise ValueError(f"{character!r} is no capital, digit, full stop, low line or hyphen.")
    return _VALUES[character]
