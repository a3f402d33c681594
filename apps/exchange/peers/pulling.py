"""One pull: fetch, verify, append, and vouch for what was seen."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import NoReturn

from django.utils import timezone

from apps.exchange.models import Peer
from apps.exchange.peers import unproven
from apps.exchange.peers.again import OLD_ROWS, reread, try_refused
from apps.exchange.peers.appending import Taken, keep_page
from apps.exchange.peers.checking import check_growth, check_page
from apps.exchange.peers.cosigning import cosigned
from apps.exchange.peers.errors import PeerContradiction, PeerStopped, PeerTrouble, What
from apps.exchange.peers.http import HttpTransport
from apps.exchange.peers.keeping import find_peer, stop_peer
from apps.exchange.peers.remote import Remote
from apps.exchange.peers.transport import Transport
from apps.records.checkpoint import Checkpoint, CheckpointReading
from apps.records.notes import VerifierKey
from apps.registry.actors import Actor
from apps.registry.errors import RegistryError
from apps.registry.policies import only_the_operator

# A log of little but refused records is not worth following, and each is kept with its reason.
MOST_REFUSED = 10_000

Progress = Callable[[str, int, int], None]
Connect = Callable[[Peer], Transport]


@dataclass(frozen=True, slots=True)
class Pulled:
    """What one pull came to.

    Parameters
    ----------
    host : str
    before, size : int
        Rows of the peer's log that were here before, and that are here now.
    new, here, erased, refused : int
        Records appended, records that were here before, rows without bytes, rows that the door
        refused.
    reread : int
        Old rows that were read again.
    not_cosigned : str
        Why the peer did not take the cosignature; "" where it did.
    """

    host: str
    before: int
    size: int
    new: int
    here: int
    erased: int
    refused: int
    reread: int
    not_cosigned: str = ""


def over_http(peer: Peer) -> Transport:
    """Reach a peer at its address."""
    return HttpTransport(peer.url, peer.token)


def pull(
    *,
    host: str,
    by: Actor,
    connect: Connect = over_http,
    progress: Progress | None = None,
    old_rows: int = OLD_ROWS,
    turn_s: float = math.inf,
) -> Pulled:
    """Bring what a peer's log has beyond what is here.

    Parameters
    ----------
    host : str
        The peer.
    by : Actor
        The operator.
    connect : callable
        Gives what carries the requests.
    progress : callable, optional
        Told the peer, the rows taken in so far, and how many there are.
    old_rows : int
        Rows taken in before that are read again, in turn.
    turn_s : float
        How long to go on [s]; what is left then is for the next pull.

    Raises
    ------
    NotAllowed, UnknownPeer, PeerStopped
    PeerTrouble
        The peer can't be followed just now; the next pull goes on where this one ended.
    PeerContradiction
        Its log is not the one it signed for before. It is stopped, and the proof is kept.
    """
    only_the_operator(by)
    peer = find_peer(host)
    if peer.state != "following":
        raise PeerStopped(
            f"{host} was stopped: {peer.reason} Look at the evidence with `peers {host}`; to go "
            f"on, `pull {host} --again`."
        )
    remote = Remote(connect(peer), VerifierKey.from_text(peer.vkey), turn_s=turn_s)
    try:
        return _Pull(peer, remote, progress or _silent, old_rows).run()
    except PeerContradiction as contradiction:
        stop_peer(host, contradiction)
        raise
    except RegistryError as error:
        Peer.objects.filter(host=host).update(trouble=error.sentence)
        raise


def _silent(_host: str, _done: int, _of: int) -> None:
    """Show nothing."""


class _Pull:
    """The steps of one pull, in their order."""

    def __init__(self, peer: Peer, remote: Remote, progress: Progress, old_rows: int) -> None:
        self.peer = peer
        self.remote = remote
        self.progress = progress
        self.old_rows = old_rows
        self.before = peer.size
        self.taken: list[Taken] = []

    def run(self) -> Pulled:
        """Pull."""
        reading = self.remote.checkpoint()
        check_growth(self.peer, reading, self.remote)
        again = reread(self.peer, self.remote, at_most=self.old_rows)
        self._remember(reading)
        self.taken.append(try_refused(self.peer, self.remote))
        self._take_pages(reading.checkpoint)
        not_cosigned = "its turn was over"
        if not self.remote.turn_is_over:
            if self.peer.size > self.before:
                self.taken.append(try_refused(self.peer, self.remote))
            not_cosigned = self._cosign(reading)
        Peer.objects.filter(host=self.peer.host).update(pulled_at=timezone.now(), trouble="")
        return self._sum(again, not_cosigned)

    def _remember(self, reading: CheckpointReading) -> None:
        """Keep the verified checkpoint before the rows, so that a cut pull is held to it."""
        checkpoint = reading.checkpoint
        values = {
            "checkpoint": reading.note.data.decode(),
            "checkpoint_size": checkpoint.size,
            "checkpoint_root": checkpoint.root.hex(),
        }
        held = Peer.objects.filter(host=self.peer.host, checkpoint_size__lte=checkpoint.size)
        if not held.update(**values):
            _pulled_elsewhere(self.peer.host)
        self.peer.refresh_from_db()

    def _take_pages(self, checkpoint: Checkpoint) -> None:
        host = self.peer.host
        self.progress(host, self.peer.size, checkpoint.size)
        while self.peer.size < checkpoint.size and not self.remote.turn_is_over:
            self._check_refused()
            rows = self.remote.rows(self.peer.size, checkpoint.size)
            tree = check_page(self.peer, rows, checkpoint, self.remote)
            self.taken.append(keep_page(host, rows, tree))
            self.peer.refresh_from_db()
            self.progress(host, self.peer.size, checkpoint.size)

    def _check_refused(self) -> None:
        # A row without bytes may wait for its erasure to the end of the log.
        if self.peer.refusals.exclude(code=unproven.CODE).count() > MOST_REFUSED:
            sentence = (
                f"More than {MOST_REFUSED} records of {self.peer.host} were refused; look at them "
                "before going on."
            )
            raise PeerTrouble(What.TOO_MANY_REFUSED, sentence)

    def _cosign(self, reading: CheckpointReading) -> str:
        """Vouch for the checkpoint; a peer that does not take it is followed all the same."""
        if not reading.checkpoint.size:
            return "its log is empty"
        try:
            self.remote.hand_cosignature(cosigned(reading))
        except PeerTrouble as trouble:
            return trouble.sentence
        return ""

    def _sum(self, again: int, not_cosigned: str) -> Pulled:
        return Pulled(
            host=self.peer.host,
            before=self.before,
            size=self.peer.size,
            new=sum(one.new for one in self.taken),
            here=sum(one.here for one in self.taken),
            erased=sum(one.erased for one in self.taken),
            refused=self.peer.refusals.count(),
            reread=again,
            not_cosigned=not_cosigned,
        )


def _pulled_elsewhere(host: str) -> NoReturn:
    sentence = f"Another pull of {host} is under way; let it end."
    raise PeerTrouble(What.PULLED_ELSEWHERE, sentence)
