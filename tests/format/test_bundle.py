"""The golden bundle holds for a reader of another make, and not with any byte changed."""

from __future__ import annotations

import pytest

from tests.format.bundle import Link, holds_bundle, joined_with, verify
from tests.format.pages import BUNDLE, node_vkey

DATA = BUNDLE.read_bytes()
# A prime, so that all sorts of places are met; each byte of the file is met over the parts.
STEP = 61


def test_the_golden_bundle_holds() -> None:
    verify(DATA)
    assert not holds_bundle(DATA, node_vkey())


@pytest.mark.parametrize("part", range(4))
def test_it_fails_with_a_byte_changed(part: int) -> None:
    for place in range(part * 13, len(DATA), STEP):
        for mask in (0x01, 0x20):
            changed = DATA[:place] + bytes([DATA[place] ^ mask]) + DATA[place + 1 :]
            assert not holds_bundle(changed), place


@pytest.mark.parametrize("more", [b" ", b"\n", b"{}"])
def test_it_fails_with_anything_around_it(more: bytes) -> None:
    assert not holds_bundle(DATA + more)
    assert not holds_bundle(more + DATA)


A, B, C = "fellbench@node.example/A", "fellbench@node.example/B", "tarnside@lake.example/C"
FELL, TARN = "fellbench@node.example", "tarnside@lake.example"


def test_tags_are_joined_as_the_page_on_records_says() -> None:
    retag = Link(FELL, same=True, tags=frozenset((A, B)))
    one_side = Link(FELL, same=True, tags=frozenset((B, C)))
    other_side = Link(TARN, same=True, tags=frozenset((B, C)))
    doubt = Link(TARN, same=False, tags=frozenset((A, C)))
    assert joined_with(A, [retag, one_side], "mutual") == {A, B}
    assert joined_with(A, [retag, one_side], "all") == {A, B, C}
    assert joined_with(A, [retag, one_side, other_side], "mutual") == {A, B, C}
    assert joined_with(A, [retag, one_side, other_side], "none") == {A}
    assert joined_with(A, [retag, one_side, other_side, doubt], "mutual") == {A}
