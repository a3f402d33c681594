"""Checkpoints of the log against C2SP tlog-checkpoint."""

from __future__ import annotations

import pytest

from apps.records.checkpoint import (
    MAX_SIZE,
    Checkpoint,
    log_origin,
    origin_host,
    read_checkpoint,
)
from apps.records.errors import MalformedNote
from apps.records.notes import Note, VerifierKey
from apps.records.signing import PrivateKey
from apps.records.tree import EMPTY_ROOT
from tests.records.test_notes import COSIGNED, KEY, NAME, PRIVATE, TEXT

# The example of C2SP tlog-checkpoint v1.0.0: its origin and its size.
ORIGIN, SIZE = "example.com/behind-the-sofa", 20852163
ROOT_TEXT = "CsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I="


def test_the_example_of_c2sp_reads_and_writes_back() -> None:
    text = Note.from_bytes(COSIGNED).text
    checkpoint = Checkpoint.from_text(text)
    assert (checkpoint.origin, checkpoint.size) == (ORIGIN, SIZE)
    assert checkpoint.text == text


def test_a_signed_checkpoint_holds_under_the_key_of_its_log() -> None:
    checkpoint = Checkpoint(NAME, 0, EMPTY_ROOT)
    assert checkpoint.text == TEXT
    reading = read_checkpoint(checkpoint.signed(PRIVATE).data, KEY)
    assert reading.holds
    assert reading.checkpoint == checkpoint
    assert reading.sentence == "The signature of the note holds."


def test_extension_lines_are_signed_and_kept() -> None:
    checkpoint = Checkpoint(NAME, 1, EMPTY_ROOT, ("a later line",))
    reading = read_checkpoint(checkpoint.signed(PRIVATE).data, KEY)
    assert (reading.holds, reading.checkpoint) == (True, checkpoint)


def test_another_key_does_not_hold() -> None:
    stranger = VerifierKey(NAME, PrivateKey.from_seed(bytes(32)).public)
    reading = read_checkpoint(Checkpoint(NAME, 0, EMPTY_ROOT).signed(PRIVATE).data, stranger)
    assert not reading.holds
    assert "no signature by this key" in reading.sentence


def test_a_checkpoint_of_another_log_does_not_hold_though_the_key_signed_it() -> None:
    # A key that signs for two logs: the note is sound, yet it isn't this log's.
    other = Checkpoint("other.example/log", 0, EMPTY_ROOT)
    signed = Note(other.text, Checkpoint(NAME, 0, EMPTY_ROOT).signed(PRIVATE).signatures)
    reading = read_checkpoint(signed.data, KEY)
    assert (reading.holds, reading.origin_matches) == (False, False)
    assert "another log" in reading.sentence


@pytest.mark.parametrize(
    "text",
    [
        "",
        "\n",
        f"{ORIGIN}\n1\n",
        f"{ORIGIN}\n1\n{ROOT_TEXT}",
        f"\n1\n{ROOT_TEXT}\n",
        f"{ORIGIN}\n\n{ROOT_TEXT}\n",
        f"{ORIGIN}\n1\n{ROOT_TEXT}\n\n",
        f"{ORIGIN}\n01\n{ROOT_TEXT}\n",
        f"{ORIGIN}\n-1\n{ROOT_TEXT}\n",
        f"{ORIGIN}\n+1\n{ROOT_TEXT}\n",
        f"{ORIGIN}\n1 \n{ROOT_TEXT}\n",
        f"{ORIGIN}\n\u0661\n{ROOT_TEXT}\n",
        f"{ORIGIN}\n{MAX_SIZE + 1}\n{ROOT_TEXT}\n",
        f"{ORIGIN}\n1{'0' * 30}\n{ROOT_TEXT}\n",
        f"{ORIGIN}\n1\n{ROOT_TEXT[:-1]}\n",
        f"{ORIGIN}\n1\nAAAA\n",
    ],
)
def test_what_is_no_checkpoint_is_refused(text: str) -> None:
    with pytest.raises(MalformedNote):
        Checkpoint.from_text(text)


def test_the_largest_size_reads() -> None:
    checkpoint = Checkpoint(ORIGIN, MAX_SIZE, EMPTY_ROOT)
    assert Checkpoint.from_text(checkpoint.text) == checkpoint


def test_the_origin_names_the_node() -> None:
    assert log_origin("node.example") == NAME
    assert origin_host(NAME) == "node.example"
