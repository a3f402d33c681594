"""Signed notes and cosignatures against C2SP's texts and published notes."""

from __future__ import annotations

import base64
import hashlib

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
from hypothesis import given
from hypothesis import strategies as st

from apps.records.errors import MalformedNote
from apps.records.notes import (
    MAX_NOTE_BYTES,
    MAX_SIGNATURES,
    MAX_TIME_S,
    NOTE_SENTENCES,
    Note,
    NoteAlgorithm,
    NoteReason,
    NoteSignature,
    VerifierKey,
    cosign_text,
    from_base64_text,
    sign_text,
)
from apps.records.signing import PrivateKey

# C2SP signed-note v1.0.0, the example of its section on verifier keys.
EXAMPLE_VKEY = "example.com/foo+530d903a+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k"
EXAMPLE = (
    "This is an example message.\n\n— example.com/foo Uw2QOkn8srV1yJGh2VYRlL1Tnagv1YEq6TfXppzi2ONnc"
    "AlTgK7Ztg1ERYNZXsYjOBH3mFXmRKuwHjG1Yu72IneyaQM=\n"
).encode()

# golang.org/x/mod/sumdb/note, the keys and the note of its package documentation.
GO_VKEY = "PeterNeumann+c74f20a3+ARpc2QcUPDhMQegwxbzhKqiBfsVkmqq/LDE4izWy10TW"
GO_SEED = base64.b64decode("AYEKFALVFGyNhPJEMzD1QIDr+Y7hfZx09iUvxdXHKDFz")[1:]
GO_TEXT = (
    "If you think cryptography is the answer to your problem,\n"
    "then you don't know what your problem is.\n"
)
GO_LINE = (
    "— PeterNeumann x08go/ZJkuBS9UG/SffcvIAQxVBtiFupLLr8pAcElZInNIuGUgYN1FFYC2pZSNXgKvqfqdngotpRZb6"
    "KE6RyyBwJnAM="
)

# C2SP tlog-cosignature v1.0.0, its example; the times of the lines are those of its text.
COSIGNED = (
    "example.com/behind-the-sofa\n20852163\nCsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I=\n\n"
    "— example.com/behind-the-sofa Az3grlgtzPICa5OS8npVmf1Myq/5IZniMp+ZJurmRDeOoRDe4URYN7u5/Zhcyv2q"
    "1gGzGku9nTo+zyWE+xeMcTOAYQ8=\n"
    "— witness.example.com/w1 jWbPPwAAAABkGFDLEZMHwSRaJNiIDoe9DYn/zXcrtPHeolMI5OWXEhZCB9dlrDJsX3b2o"
    "yin1nPZqhf5nNo0xUe+mbIUBkBIfZ+qnA==\n"
).encode()

SEED = bytes.fromhex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
PRIVATE = PrivateKey.from_seed(SEED)
NAME = "node.example/log"
KEY = VerifierKey(NAME, PRIVATE.public)
WITNESS = VerifierKey(NAME, PRIVATE.public, NoteAlgorithm.COSIGNATURE)
TEXT = "node.example/log\n0\n47DEQpj8HBSa+/TImW+5JCeuQeRkm5NMpJWZG3hSuFU=\n"
STRANGER = PrivateKey.from_seed(bytes(32))


def test_the_example_of_c2sp_holds() -> None:
    key = VerifierKey.from_text(EXAMPLE_VKEY)
    assert (key.name, key.algorithm) == ("example.com/foo", NoteAlgorithm.ED25519)
    assert (key.text, key.key_hash.hex()) == (EXAMPLE_VKEY, "530d903a")
    note = Note.from_bytes(EXAMPLE)
    assert note.text == "This is an example message.\n"
    assert note.check(key).holds
    assert note.data == EXAMPLE


def test_the_note_of_the_go_package_is_signed_the_same() -> None:
    private = PrivateKey.from_seed(GO_SEED)
    assert VerifierKey("PeterNeumann", private.public).text == GO_VKEY
    note = Note(GO_TEXT).with_signature(sign_text(GO_TEXT, "PeterNeumann", private))
    assert note.data == f"{GO_TEXT}\n{GO_LINE}\n".encode()
    assert note.check(VerifierKey.from_text(GO_VKEY)).holds


def test_the_example_of_a_cosigned_checkpoint_reads() -> None:
    note = Note.from_bytes(COSIGNED)
    log, witness = note.signatures
    assert note.data == COSIGNED
    assert (log.name, len(log.data)) == ("example.com/behind-the-sofa", 64)
    # The time that C2SP tlog-cosignature shows above the signed message.
    assert int.from_bytes(witness.data[:8], "big") == 1679315147
    assert len(witness.data) == 8 + 64


def test_a_cosignature_is_made_as_the_specification_says() -> None:
    # C2SP tlog-cosignature, "Ed25519 signed message"; signed by the cryptography package itself.
    message = b"cosignature/v1\ntime 1679315147\n" + TEXT.encode()
    raw = Ed25519PrivateKey.from_private_bytes(SEED).sign(message)
    start = NAME.encode() + b"\n\x04" + PRIVATE.public.raw
    made = cosign_text(TEXT, NAME, PRIVATE, time_s=1679315147)
    assert made.key_hash == hashlib.sha256(start).digest()[:4]
    assert made.data == (1679315147).to_bytes(8, "big") + raw


def test_a_log_signature_and_a_cosignature_by_one_key_are_told_apart() -> None:
    note = Note(TEXT, (sign_text(TEXT, NAME, PRIVATE),))
    assert note.check(KEY).holds
    assert note.check(WITNESS).reason is NoteReason.NOT_SIGNED
    both = note.with_signature(cosign_text(TEXT, NAME, PRIVATE, time_s=7))
    twice = both.with_signature(cosign_text(TEXT, NAME, PRIVATE, time_s=9))
    assert twice.check(KEY).times_s == ()
    assert twice.check(WITNESS).times_s == (7, 9)
    assert KEY.as_cosigner == WITNESS
    assert VerifierKey.from_text(WITNESS.text) == WITNESS


def test_a_signature_stands_once() -> None:
    signature = sign_text(TEXT, NAME, PRIVATE)
    note = Note(TEXT).with_signature(signature).with_signature(signature)
    assert note.signatures == (signature,)


def test_signatures_by_unknown_keys_do_not_count() -> None:
    note = Note(TEXT).with_signature(sign_text(TEXT, NAME, STRANGER))
    check = note.check(KEY)
    assert (check.reason, check.holds) == (NoteReason.NOT_SIGNED, False)
    assert check.sentence == NOTE_SENTENCES[NoteReason.NOT_SIGNED]


@pytest.mark.parametrize("key", [KEY, WITNESS])
def test_one_bad_signature_by_a_known_key_spoils_the_note(key: VerifierKey) -> None:
    good = sign_text(TEXT, NAME, PRIVATE), cosign_text(TEXT, NAME, PRIVATE, time_s=7)
    bad = NoteSignature(NAME, key.key_hash, bytes(64 if key is KEY else 72))
    assert Note(TEXT, good).check(key).holds
    assert Note(TEXT, (*good, bad)).check(key).reason is NoteReason.DOES_NOT_MATCH
    assert Note(TEXT + "more\n", good).check(key).reason is NoteReason.DOES_NOT_MATCH


@pytest.mark.parametrize(
    ("key", "data"),
    [
        (KEY, bytes(63)),
        (KEY, bytes(65)),
        (WITNESS, bytes(64)),
        (WITNESS, bytes(73)),
        (WITNESS, b"\x80" + bytes(71)),
    ],
)
def test_a_signature_of_another_length_is_malformed(key: VerifierKey, data: bytes) -> None:
    note = Note(TEXT, (NoteSignature(NAME, key.key_hash, data),))
    assert note.check(key).reason is NoteReason.MALFORMED_SIGNATURE


@pytest.mark.parametrize("position", range(len(EXAMPLE)))
def test_every_flipped_bit_of_a_note_fails(position: int) -> None:
    key = VerifierKey.from_text(EXAMPLE_VKEY)
    for bit in range(8):
        flipped = bytearray(EXAMPLE)
        flipped[position] ^= 1 << bit
        try:
            note = Note.from_bytes(bytes(flipped))
        except MalformedNote:
            continue
        assert not note.check(key).holds


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"no signature\n",
        b"no signature\n\n",
        b"no empty line\n" + GO_LINE.encode() + b"\n",
        EXAMPLE[:-1],
        EXAMPLE + b"\n",
        EXAMPLE.replace(b" message", b"\tmessage"),
        EXAMPLE.replace(b"message.", b"message.\r"),
        EXAMPLE.replace(b"message", b"\xff"),
        EXAMPLE.replace("—".encode(), b"-"),
        EXAMPLE.replace(b"example.com/foo", b"example.com foo"),
        EXAMPLE.replace(b"example.com/foo ", b" "),
        EXAMPLE.replace(b"example.com/foo", b"example+foo"),
        EXAMPLE.replace(b"aQM=", b"aQM"),
        EXAMPLE.replace(b"aQM=", b"aQN="),
        "text\n\n— name AAAAAA==\n".encode(),
        "text\n\n— name ä\n".encode(),
        b"x" * MAX_NOTE_BYTES + EXAMPLE,
        b"text\n\n" + (GO_LINE.encode() + b"\n") * (MAX_SIGNATURES + 1),
    ],
)
def test_what_is_no_note_is_refused(data: bytes) -> None:
    with pytest.raises(MalformedNote):
        Note.from_bytes(data)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "example.com/foo",
        "example.com/foo+530d903a",
        EXAMPLE_VKEY.replace("530d", "530D"),
        EXAMPLE_VKEY.replace("530d903a", "530d903b"),
        EXAMPLE_VKEY.replace("example", "examples"),
        EXAMPLE_VKEY.replace("U2k", "U2"),
        EXAMPLE_VKEY.replace("AekyeRrm", ""),
        EXAMPLE_VKEY.replace("+AeK", "+AeK"[:2]) + "AAAA",
        EXAMPLE_VKEY.replace("+Aek", "+Auk"),
        "+530d903a+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k",
        "a b+530d903a+AekyeRrm56hApGFkyQR4ZCbV54Id2LKaANYcrnKv3U2k",
    ],
)
def test_what_is_no_verifier_key_is_refused(text: str) -> None:
    with pytest.raises(MalformedNote):
        VerifierKey.from_text(text)


def test_only_the_two_signature_types_are_read() -> None:
    material = base64.b64encode(b"\x02" + PRIVATE.public.raw).decode()
    with pytest.raises(MalformedNote, match="No signature type 2"):
        VerifierKey.from_text(f"node.example/log+00000000+{material}")


@pytest.mark.parametrize("name", ["", "a b", "a+b", "a\u00a0b", "a\nb", "a\x01b"])
def test_a_name_that_would_break_a_line_is_refused(name: str) -> None:
    with pytest.raises(MalformedNote, match="no white space"):
        sign_text(TEXT, name, PRIVATE)


@pytest.mark.parametrize("time_s", [-1, MAX_TIME_S + 1])
def test_a_time_out_of_range_is_refused(time_s: int) -> None:
    with pytest.raises(MalformedNote, match="POSIX time"):
        cosign_text(TEXT, NAME, PRIVATE, time_s=time_s)


def test_the_text_may_hold_empty_lines() -> None:
    # The text ends at the last empty line of the note: C2SP signed-note, Format.
    text = "one\n\n\ntwo\n\n"
    note = Note(text).with_signature(sign_text(text, NAME, PRIVATE))
    assert Note.from_bytes(note.data) == note
    assert Note.from_bytes(note.data).check(KEY).holds


@given(st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=40), st.integers(0, 2**63))
def test_a_note_reads_back_as_it_was_written(line: str, time_s: int) -> None:
    text = f"{line}\n"
    note = Note(text, (sign_text(text, NAME, PRIVATE),)).with_signature(
        cosign_text(text, NAME, PRIVATE, time_s=min(time_s, MAX_TIME_S))
    )
    again = Note.from_bytes(note.data)
    assert again == note
    assert again.check(KEY).holds
    assert again.check(WITNESS).times_s == (min(time_s, MAX_TIME_S),)


def test_base64_has_one_way_to_write_its_bytes() -> None:
    assert from_base64_text("AA==") == b"\0"
    assert [from_base64_text(text) for text in ("AB==", "AA", "A A==", "ä")] == [None] * 4
