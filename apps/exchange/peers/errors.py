"""What can go wrong with a peer: trouble that may pass, and words that contradict each other."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from apps.registry.errors import RegistryError


class UnknownPeer(RegistryError):
    """No peer of this host was added here."""

    code = "unknown-peer"


class PeerExists(RegistryError):
    """The peer is here already."""

    code = "peer-exists"


class InvalidPeer(RegistryError):
    """The address, the key or the token of a peer can't be used."""

    code = "invalid-peer"


class PeerStopped(RegistryError):
    """The peer contradicted itself before, and nobody said that it may be followed again."""

    code = "peer-stopped"


class What(StrEnum):
    """What went wrong without proving anything."""

    UNREACHABLE = "unreachable"
    TIMED_OUT = "timed-out"
    CUT = "cut"
    NOT_LET_IN = "not-let-in"
    SLOW_DOWN = "slow-down"
    REDIRECTED = "redirected"
    WRONG_STATUS = "wrong-status"
    WRONG_TYPE = "wrong-type"
    TOO_LARGE = "too-large"
    MALFORMED = "malformed"
    WRONG_ORIGIN = "wrong-origin"
    NOT_SIGNED = "not-signed"
    PROOF_FAILS = "proof-fails"
    HOLE = "hole"
    SURPLUS = "surplus"
    TOO_MANY_REFUSED = "too-many-refused"
    PULLED_ELSEWHERE = "pulled-elsewhere"


class PeerTrouble(RegistryError):
    """The peer can't be followed just now; nothing of this answer was believed.

    Parameters
    ----------
    what : What
    sentence : str
    wait_s : int or None
        How long the peer asks to be left alone [s].
    """

    code = "peer-trouble"

    def __init__(self, what: What, sentence: str, *, wait_s: int | None = None) -> None:
        super().__init__(sentence)
        self.what = what
        self.wait_s = wait_s


class Kind(StrEnum):
    """How a log contradicted itself."""

    SHRUNK = "shrunk"
    FORKED = "forked"
    REWRITTEN = "rewritten"
    NOT_SIGNED_FOR = "not-signed-for"


@dataclass(frozen=True, slots=True)
class Proof:
    """What shows it: the checkpoints as signed, and what else was answered."""

    before: str = ""
    after: str = ""
    answer: str = ""


class PeerContradiction(RegistryError):
    """The peer's log is not the one it signed for before; the proof is kept.

    Parameters
    ----------
    kind : Kind
    sentence : str
    index : int or None
        The first row that differs, where one could be named.
    proof : Proof
    """

    code = "peer-contradiction"

    def __init__(
        self, kind: Kind, sentence: str, *, index: int | None = None, proof: Proof
    ) -> None:
        super().__init__(sentence)
        self.kind = kind
        self.index = index
        self.proof = proof
