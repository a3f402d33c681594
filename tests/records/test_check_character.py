"""The check character: against published numbers, and for every slip it is to show."""

from __future__ import annotations

import pytest

from apps.records.check_character import ALPHABET, check_character, check_character_fits

# The text of ISO/IEC 7064 itself was not at hand; these are numbers of standards that use it.
PUBLISHED = (
    # IFPI, GRid Standard: the example A1-2425G-ABC1234002-M.
    ("A12425GABC1234002", "M"),
    # ISO 15706: ISAN 0000-0000-D07A-0090-Q-0000-0000-X, over root and episode, then over all.
    ("0000-0000-D07A-0090", "Q"),
    ("0000-0000-D07A-0090-0000-0000", "X"),
    # ISO 15706: ISAN 0000-0001-8947-0000-8-0000-0000-D and 0000-0001-8CFA-0000-I-0000-0000-K.
    ("0000-0001-8947-0000", "8"),
    ("0000-0001-8947-0000-0000-0000", "D"),
    ("0000-0001-8CFA-0000", "I"),
    ("0000-0001-8CFA-0000-0000-0000", "K"),
)
MARKS = str.maketrans("", "", "._-")
BODIES = ("FB-0042", "KELD.2026_0999", "Z", "0", "AZ-9999", "PM-0100")


@pytest.mark.parametrize(("text", "expected"), PUBLISHED)
def test_published_numbers(text: str, expected: str) -> None:
    assert check_character(text) == expected
    assert check_character_fits(text + expected)
    # Marks between the characters count for nothing.
    assert check_character(text.replace("-", "")) == expected
    assert check_character(f".{text}_") == expected


@pytest.mark.parametrize("body", BODIES)
def test_every_single_change_shows(body: str) -> None:
    tag = body + check_character(body)
    assert check_character_fits(tag)
    for place, character in enumerate(tag):
        if character in "._-":
            continue
        for other in set(ALPHABET) - {character}:
            changed = tag[:place] + other + tag[place + 1 :]
            assert not check_character_fits(changed), changed


def swapped(before: str, first: str, second: str) -> bool:
    """Say whether a swap of two characters after some text goes unseen."""
    return check_character(before + first + second) == check_character(before + second + first)


def test_one_swap_of_neighbours_in_630_does_not_show() -> None:
    """Each character alone leads to another of the 36 states that a text can end in."""
    states = ALPHABET
    assert len({check_character(state) for state in states}) == len(ALPHABET)
    for before in states:
        missed = {
            frozenset((first, second))
            for first in ALPHABET
            for second in ALPHABET
            if first < second and swapped(before, first, second)
        }
        assert len(missed) == 1, before
        low, high = sorted(ALPHABET.index(one) for one in next(iter(missed)))
        assert high - low in (1, len(ALPHABET) - 1), before


@pytest.mark.parametrize("body", BODIES)
def test_swaps_within_tags_show(body: str) -> None:
    """In the tags of these tests no swap is the one that is missed."""
    tag = body + check_character(body)
    for place in range(len(tag) - 1):
        turned = tag[:place] + tag[place + 1] + tag[place] + tag[place + 2 :]
        counts_alike = turned.translate(MARKS) == tag.translate(MARKS)
        assert check_character_fits(turned) == counts_alike, turned


@pytest.mark.parametrize("text", ["", "--", "._"])
def test_nothing_to_count_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="at least one"):
        check_character(text)


@pytest.mark.parametrize("text", ["fb-0042", "FB 0042", "FÄ", "FB\u0660"])
def test_what_no_tag_holds_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is no capital"):
        check_character(text)


@pytest.mark.parametrize("text", ["", "Z", "-Z"])
def test_a_check_character_needs_a_text_before_it(text: str) -> None:
    with pytest.raises(ValueError, match="at least one"):
        check_character_fits(text)
