"""What a peer's answers say, read strictly; nothing of them is believed before it is checked."""

from __future__ import annotations

import json
import math
import time
from collections.abc import Callable
from dataclasses import dataclass
from http import HTTPStatus
from typing import Any, NoReturn, TypeVar

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from apps.exchange.peers.errors import PeerTrouble, What
from apps.exchange.peers.transport import JSON, TEXT, Answer, Ask, Transport
from apps.records.canonical import canonical_bytes, record_id
from apps.records.checkpoint import CheckpointReading, read_checkpoint
from apps.records.errors import InvalidRecord, MalformedNote
from apps.records.notes import MAX_NOTE_BYTES, Note, VerifierKey
from apps.records.strict_json import MAX_BYTES, MAX_DEPTH, loads_strict

ROWS_AT_ONCE = 250
# A row has its record, and beside it an index, an id and a signature.
ROW_BYTES = MAX_BYTES + 1024
PROOF_BYTES = 16 * 1024
# The page and its list stand around each record.
PAGE_DEPTH = MAX_DEPTH + 3
LONGEST_WAIT_S = 120
WAITS = 10

M = TypeVar("M", bound=BaseModel)


class _Shape(BaseModel):
    # A later version may say more, and what it says more is not needed here.
    model_config = ConfigDict(strict=True, frozen=True, extra="ignore")


class _Row(_Shape):
    index: int = Field(ge=0)
    id: str = Field(pattern="^[0-9a-f]{64}$")
    signature: str | None = Field(default=None, max_length=200)
    record: dict[str, Any] | None = None
    erased_by: str | None = Field(default=None, pattern="^[0-9a-f]{64}$")


class _Page(_Shape):
    # One more than are asked for, so that what is too much is told apart from what is wrong.
    items: list[_Row] = Field(max_length=ROWS_AT_ONCE + 1)


class _Consistency(_Shape):
    hashes: list[str] = Field(max_length=130)


@dataclass(frozen=True, slots=True)
class Row:
    """One row of a peer's log, as it was answered.

    Parameters
    ----------
    index : int
    record_id : str
    data : bytes
        The record's canonical bytes; empty where the peer says that they were erased.
    signature : str
    erased_by : str
        Id of the record that says so; "" for a record that is there.
    """

    index: int
    record_id: str
    data: bytes = b""
    signature: str = ""
    erased_by: str = ""

    @property
    def is_what_it_says(self) -> bool:
        """Whether the bytes are those of the id; erased ones say nothing."""
        return not self.data or record_id(self.data) == self.record_id

    @property
    def shown(self) -> str:
        """The row as JSON, to be kept as proof."""
        members = {
            "index": self.index,
            "id": self.record_id,
            "signature": self.signature,
            "record": self.data.decode(),
            "erased_by": self.erased_by,
        }
        return json.dumps(members, ensure_ascii=False)


class Remote:
    """One peer, asked through a transport and held to the key of its log.

    Parameters
    ----------
    transport : Transport
    key : VerifierKey
        Pinned when the peer was added.
    sleep : callable
        Waits for some seconds where the peer asks to be left alone.
    turn_s : float
        How long it may be asked in all [s]; a peer that drips rows must not keep others waiting.
    """

    def __init__(
        self,
        transport: Transport,
        key: VerifierKey,
        sleep: Callable[[float], None] = time.sleep,
        *,
        turn_s: float = math.inf,
    ) -> None:
        self.transport = transport
        self.key = key
        self.sleep = sleep
        self.turn_s = turn_s
        self.end_s = time.monotonic() + turn_s

    @property
    def turn_is_over(self) -> bool:
        """Whether it is another peer's turn."""
        return time.monotonic() >= self.end_s

    def checkpoint(self) -> CheckpointReading:
        """Give the newest checkpoint, signed by the pinned key for the log of the pinned name.

        Raises
        ------
        PeerTrouble
        """
        answer = self._asked(Ask("log/checkpoint", most_bytes=MAX_NOTE_BYTES), TEXT)
        try:
            reading = read_checkpoint(answer.body, self.key)
        except MalformedNote as error:
            raise PeerTrouble(What.MALFORMED, f"The checkpoint can't be read: {error}") from error
        if not reading.origin_matches:
            sentence = f"The checkpoint is of another log than {self.key.name}."
            raise PeerTrouble(What.WRONG_ORIGIN, sentence)
        if not reading.check.holds:
            raise PeerTrouble(What.NOT_SIGNED, f"{reading.check.sentence} Check the pinned key.")
        return reading

    def consistency(self, old: int, size: int) -> tuple[bytes, ...]:
        """Give the hashes that are to prove that the log only grew.

        Raises
        ------
        PeerTrouble
        """
        ask = Ask("log/consistency", {"old": old, "size": size}, most_bytes=PROOF_BYTES)
        hashes = self._document(ask, _Consistency).hashes
        try:
            return tuple(bytes.fromhex(one) for one in hashes)
        except ValueError:
            raise PeerTrouble(What.MALFORMED, "A hash of the proof is no hexadecimal.") from None

    def rows(self, start: int, until: int, *, at_most: int = ROWS_AT_ONCE) -> tuple[Row, ...]:
        """Give the next rows from an index and before a bound: one at least, without a hole.

        Raises
        ------
        PeerTrouble
        """
        if self.turn_is_over:
            sentence = f"The peer took more than its turn of {self.turn_s:g} seconds."
            raise PeerTrouble(What.TIMED_OUT, sentence)
        limit = min(at_most, until - start)
        query = {"from": start, "until": until, "limit": limit}
        ask = Ask("log/records", query, most_bytes=limit * ROW_BYTES + ROW_BYTES)
        items = self._document(ask, _Page).items
        if len(items) > limit:
            sentence = f"The feed answered {len(items)} rows where {limit} were asked for."
            raise PeerTrouble(What.SURPLUS, sentence)
        indexes = [item.index for item in items]
        if not items or indexes != list(range(start, start + len(items))):
            raise PeerTrouble(What.HOLE, f"The feed does not go on at row {start} without a hole.")
        return tuple(_row(item) for item in items)

    def hand_cosignature(self, note: Note) -> None:
        """Hand the peer its own checkpoint with this node's cosignature under it.

        Raises
        ------
        PeerTrouble
        """
        body = json.dumps({"note": note.data.decode()}, ensure_ascii=False).encode()
        self._asked(Ask("log/cosignatures", body=body), JSON)

    def _document(self, ask: Ask, model: type[M]) -> M:
        answer = self._asked(ask, JSON)
        try:
            document = loads_strict(
                answer.body, max_bytes=ask.most_bytes, max_depth=PAGE_DEPTH, allow_fractions=False
            )
            return model.model_validate(document)
        except InvalidRecord as error:
            sentence = f"The answer of {ask.path} is no strict JSON: {error.errors[0].message}"
            raise PeerTrouble(What.MALFORMED, sentence) from error
        except ValidationError as error:
            sentence = f"The answer of {ask.path} lacks what is needed, or has it otherwise."
            raise PeerTrouble(What.MALFORMED, sentence) from error

    def _asked(self, ask: Ask, media_type: str) -> Answer:
        """Ask, and ask again as often as the peer wants a little time."""
        for _ in range(WAITS):
            answer = self.transport.ask(ask)
            wait_s = _short_wait(answer)
            if wait_s is None or self.turn_is_over:
                break
            self.sleep(wait_s)
        _check_status(answer, ask)
        if answer.media_type != media_type:
            sentence = f"{ask.path} answered in another format than {media_type}."
            raise PeerTrouble(What.WRONG_TYPE, sentence)
        return answer


def _short_wait(answer: Answer) -> int | None:
    asks = answer.status in {HTTPStatus.TOO_MANY_REQUESTS, HTTPStatus.SERVICE_UNAVAILABLE}
    if not asks or answer.wait_s is None or answer.wait_s > LONGEST_WAIT_S:
        return None
    return max(1, answer.wait_s)


def _check_status(answer: Answer, ask: Ask) -> None:
    status = answer.status
    if 200 <= status < 300:
        return
    if 300 <= status < 400:
        sentence = f"{ask.path} answered with a redirect, and none is followed; mend the address."
        raise PeerTrouble(What.REDIRECTED, sentence)
    if status in {401, 403}:
        _not_let_in(ask)
    if status == HTTPStatus.TOO_MANY_REQUESTS:
        raise PeerTrouble(
            What.SLOW_DOWN, "The peer asks to be asked less often.", wait_s=answer.wait_s
        )
    raise PeerTrouble(
        What.WRONG_STATUS, f"{ask.path} answered with status {status}.", wait_s=answer.wait_s
    )


def _not_let_in(ask: Ask) -> NoReturn:
    sentence = f"The peer does not let this node read {ask.path}; ask for a key of scope `feed`."
    raise PeerTrouble(What.NOT_LET_IN, sentence)


def _row(item: _Row) -> Row:
    if item.erased_by is not None:
        return Row(item.index, item.id, erased_by=item.erased_by)
    if item.record is None or item.signature is None:
        sentence = f"Row {item.index} has neither a signed record nor the word that it was erased."
        raise PeerTrouble(What.MALFORMED, sentence)
    try:
        data = canonical_bytes(item.record)
    except InvalidRecord as error:
        sentence = f"Row {item.index} has no canonical form."
        raise PeerTrouble(What.MALFORMED, sentence) from error
    return Row(item.index, item.id, data, item.signature)
