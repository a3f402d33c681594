"""The keys of a bundle: which key signs for whom, over which stretch of the log."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field, replace

from apps.records.bundle_report import Fault
from apps.records.bundle_rows import SignedRow
from apps.records.envelope import KeyEndRecord, KeyRecord
from apps.records.key_proof import proof_holds
from apps.records.names import NODE_CODE, node_host, shop_code
from apps.records.signing import PublicKey


@dataclass(frozen=True, slots=True)
class StatedKey:
    """One key, as the records of the log state it.

    Parameters
    ----------
    author : str
        Handle that it signs for.
    public : PublicKey
    held_by : str
        `shop` or `node`.
    valid_from : int
        Place of its key record; it signs what comes later.
    ends_at : int or None
        Place of its end; it signs nothing from there on.
    """

    author: str
    public: PublicKey
    held_by: str
    valid_from: int
    ends_at: int | None = None

    def speaks_at(self, index: int) -> bool:
        """Say whether what it signs counts at a place of the log."""
        return self.valid_from < index and (self.ends_at is None or index < self.ends_at)


@dataclass(slots=True)
class KeyBook:
    """The keys stated so far, by id; filled in the order of the log."""

    keys: dict[str, StatedKey] = field(default_factory=dict)
    first_seen: list[str] = field(default_factory=list)

    def take(self, row: SignedRow) -> Iterator[Fault]:
        """Take a key record or the end of a key into account; yield what is wrong with it."""
        if isinstance(row.record, KeyRecord):
            yield from self._begin(row, row.record)
        elif isinstance(row.record, KeyEndRecord):
            yield from self._end(row, row.record)
        else:
            yield Fault(row.place, "not-a-key", "Only keys and their ends stand in this list.")

    def faults_of(self, row: SignedRow) -> Iterator[Fault]:
        """Yield what is wrong with the signature of a record or with its key."""
        key = self.keys.get(row.frame.key)
        if key is None:
            yield Fault(
                row.place, "unknown-key", f"The key of {row.frame.author} is not in the file."
            )
        elif key.author != row.frame.author:
            sentence = f"It is signed with a key of {key.author}, not of {row.frame.author}."
            yield Fault(row.place, "foreign-key", sentence)
        elif not key.speaks_at(row.index):
            sentence = (
                f"The key of {row.frame.author} was not valid at place {row.index} of the log."
            )
            yield Fault(row.place, "key-not-valid", sentence)
        elif not key.public.verify(row.data, row.signature).holds:
            yield Fault(
                row.place, "bad-signature", f"The signature of {row.frame.author} doesn't match."
            )

    def live_key(self, author: str, public: PublicKey) -> bool:
        """Say whether a key is stated as an author's and was not ended."""
        key = self.keys.get(public.key_id)
        return key is not None and key.author == author and key.ends_at is None

    def ranks_of(self, rows: Iterable[SignedRow]) -> Iterator[str]:
        """Say who held the key of each record: its shop, the node for it, or the node itself."""
        for row in rows:
            key = self.keys.get(row.frame.key)
            if shop_code(row.frame.author) == NODE_CODE:
                yield "node-signed"
            elif key is not None:
                yield "shop-signed" if key.held_by == "shop" else "node-attested"

    def _begin(self, row: SignedRow, record: KeyRecord) -> Iterator[Fault]:
        body = record.body
        public = PublicKey.from_text(body.public)
        key = StatedKey(body.shop, public, str(body.held_by), row.index)
        if not proof_holds(public, body.shop, body.proof).holds:
            yield Fault(row.place, "key-not-proved", f"{body.shop} did not prove to hold the key.")
        elif public.key_id in self.keys:
            yield Fault(row.place, "key-twice", "This key was stated before.")
        elif self._introduces_itself(record, public):
            yield from self._first(row, key)
        else:
            yield from self._stated(row, key)

    def _introduces_itself(self, record: KeyRecord, public: PublicKey) -> bool:
        own = record.key == public.key_id and record.body.shop == record.author
        return own and all(key.author != record.author for key in self.keys.values())

    def _first(self, row: SignedRow, key: StatedKey) -> Iterator[Fault]:
        # A node's first key is the only one that nothing before it vouches for.
        if not key.public.verify(row.data, row.signature).holds:
            yield Fault(
                row.place, "bad-signature", f"The signature of {row.frame.author} doesn't match."
            )
        else:
            self.keys[key.public.key_id] = key
            self.first_seen.append(node_host(row.frame.author))

    def _stated(self, row: SignedRow, key: StatedKey) -> Iterator[Fault]:
        faults = tuple(self.faults_of(row))
        yield from faults
        if not faults:
            self.keys[key.public.key_id] = key

    def _end(self, row: SignedRow, record: KeyEndRecord) -> Iterator[Fault]:
        key = self.keys.get(record.body.key)
        faults = tuple(self.faults_of(row))
        yield from faults
        if key is None or key.author != record.body.shop or key.ends_at is not None:
            sentence = f"It ends no live key of {record.body.shop} that the file has."
            yield Fault(row.place, "no-key-to-end", sentence)
        elif not faults:
            self.keys[record.body.key] = replace(key, ends_at=row.index)
