"""What peers vouch for is kept, if it is this node's checkpoint and a peer's own key."""

from __future__ import annotations

import pytest

from apps.exchange.log import checkpoint_text
from apps.exchange.models import Cosignature
from apps.exchange.peers.cosigning import cosigned, take_cosignature
from apps.exchange.peers.keeping import add_peer, own_key
from apps.records.checkpoint import Checkpoint, read_checkpoint
from apps.records.notes import Note, VerifierKey, cosign_text, sign_text
from apps.registry.actors import OPERATOR
from apps.registry.errors import InvalidSubmission, NotAllowed, RegistryError, WrongState
from apps.registry.identity import ensure_identity, node_key
from tests.api.client import ApiClient
from tests.exchange.following import feed_token
from tests.exchange.homes import key_of, vkey_of
from tests.registry.making import a_shop, a_ski

pytestmark = pytest.mark.django_db

LAKE = "lake.example"
NAME = f"{LAKE}/log"
NOW_S = 1_760_000_000


@pytest.fixture(autouse=True)
def _peer(db: None) -> None:
    ensure_identity()
    add_peer(url=f"https://{LAKE}", vkey=vkey_of(LAKE), by=OPERATOR)


def seen(text: str | None = None, *, key: str = f"node@{LAKE}", name: str = NAME) -> bytes:
    """A checkpoint of this node, cosigned by a peer."""
    note = Note.from_bytes((text or checkpoint_text()).encode())
    line = cosign_text(note.text, name, key_of(key), time_s=NOW_S)
    return note.with_signature(line).data


def test_what_a_peer_saw_is_shown_with_the_checkpoint_that_it_is_for() -> None:
    kept = take_cosignature(seen())
    assert (kept.witness, kept.size) == (LAKE, 1)
    note = read_checkpoint(checkpoint_text().encode(), own_key()).note
    check = note.check(VerifierKey.from_text(vkey_of(LAKE)).as_cosigner)
    assert (check.holds, check.times_s) == (True, (NOW_S,))
    a_ski(a_shop())
    assert "lake" not in checkpoint_text()
    assert "lake" in checkpoint_text(1)


def test_the_latest_of_a_peer_is_kept() -> None:
    early = seen()
    a_ski(a_shop())
    late = seen()
    assert take_cosignature(late).size == 3
    assert take_cosignature(early).size == 3
    assert take_cosignature(late).size == 3
    assert Cosignature.objects.count() == 1


def test_what_the_own_side_cosigns_the_other_side_keeps() -> None:
    reading = read_checkpoint(checkpoint_text().encode(), own_key())
    note = cosigned(reading)
    assert note.check(own_key()).holds
    assert note.check(own_key().as_cosigner).holds


@pytest.mark.parametrize(
    ("key", "name"),
    [("another", NAME), (f"node@{LAKE}", "fell.example/log"), ("node@fell.example", NAME)],
)
def test_only_a_peer_is_heard(key: str, name: str) -> None:
    with pytest.raises(NotAllowed, match="No peer"):
        take_cosignature(seen(key=key, name=name))
    assert not Cosignature.objects.exists()


def test_a_plain_signature_is_no_cosignature() -> None:
    note = Note.from_bytes(checkpoint_text().encode())
    signature = sign_text(note.text, NAME, key_of(f"node@{LAKE}"))
    with pytest.raises(NotAllowed):
        take_cosignature(note.with_signature(signature).data)


def own(checkpoint: Checkpoint) -> str:
    """A checkpoint signed by this node's own key, whatever it says."""
    return checkpoint.signed(node_key()).data.decode()


@pytest.mark.parametrize(
    "checkpoint",
    [
        Checkpoint("fell.example/log", 1, b"1" * 32),
        Checkpoint("localhost.invalid/log", 1, b"1" * 32),
        Checkpoint("localhost.invalid/log", 2, b"1" * 32),
        Checkpoint("localhost.invalid/log", 2**62, b"1" * 32),
    ],
)
def test_only_a_checkpoint_of_this_log_is_vouched_for(checkpoint: Checkpoint) -> None:
    with pytest.raises(WrongState, match="no checkpoint of this node"):
        take_cosignature(seen(own(checkpoint)))


def test_a_line_that_this_node_does_not_write_is_not_vouched_for() -> None:
    said = read_checkpoint(checkpoint_text().encode(), own_key()).checkpoint
    more = Checkpoint(said.origin, said.size, said.root, ("all is well",))
    with pytest.raises(WrongState):
        take_cosignature(seen(own(more)))


def test_a_checkpoint_of_another_key_is_not_this_node_s() -> None:
    said = read_checkpoint(checkpoint_text().encode(), own_key()).checkpoint
    with pytest.raises(WrongState):
        take_cosignature(seen(said.signed(key_of("another")).data.decode()))


@pytest.mark.parametrize("note", [b"", b"no note", b"\xff", b"a\n\n\xe2\x80\x94 b AAAAAAAA\n"])
def test_what_is_no_note_is_refused(note: bytes) -> None:
    with pytest.raises(InvalidSubmission):
        take_cosignature(note)


@pytest.mark.parametrize("at", range(0, 400, 7))
def test_every_flipped_byte_is_refused(at: int) -> None:
    note = bytearray(seen())
    at %= len(note)
    note[at] ^= 1
    with pytest.raises(RegistryError):
        take_cosignature(bytes(note))


def test_a_peer_hands_it_in_with_its_key_for_the_feed() -> None:
    client = ApiClient(feed_token())
    answer = client.post("log/cosignatures", {"note": seen().decode()})
    assert (answer.status, answer.json) == (200, {"witness": LAKE, "size": 1})
    assert "lake.example/log" in checkpoint_text()


def test_refusals_are_worded() -> None:
    client = ApiClient(feed_token())
    stranger = client.post("log/cosignatures", {"note": seen(key="another").decode()})
    assert (stranger.status, stranger.slug) == (403, "not-allowed")
    other = own(Checkpoint("localhost.invalid/log", 1, b"1" * 32))
    wrong = client.post("log/cosignatures", {"note": seen(other).decode()})
    assert (wrong.status, wrong.slug) == (422, "wrong-state")
    broken = client.post("log/cosignatures", {"note": "x"})
    assert (broken.status, broken.pointers) == (400, ["/note"])
    missing = client.post("log/cosignatures", {})
    assert (missing.status, missing.pointers) == (400, ["/note"])
    assert ApiClient(None).post("log/cosignatures", {"note": "x"}).status == 401
