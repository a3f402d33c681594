"""Brings lines through the one door, in batches; the same lines again add nothing."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import groupby, islice

from apps.exchange.import_results import Outcome, Result, each_of, refused
from apps.exchange.models import ImportedRow
from apps.exchange.visit_sheets import Sheet
from apps.records.canonical import canonical_bytes
from apps.records.envelope import Draft
from apps.records.reading import document_of
from apps.registry.actions import append_records, write_drafts
from apps.registry.actors import Actor
from apps.registry.door import lock_log
from apps.registry.errors import RegistryError
from apps.registry.storage import ROWS_AT_ONCE, writing
from apps.registry.submissions import Appended, Submission

BATCH = 100


@dataclass(frozen=True, slots=True)
class Item:
    """One line that holds something to write.

    Parameters
    ----------
    line : int
        Its number in the file.
    parts : tuple of Submission or Draft
        What is written, all of it or nothing; more than one for a row of a table.
    under : str
        Where in the line the record stands.
    sheets : tuple of Sheet
        For a row of a table, the document of each part.
    """

    line: int
    parts: tuple[Submission | Draft, ...]
    under: str = ""
    sheets: tuple[Sheet, ...] = ()


@dataclass(frozen=True, slots=True)
class Part:
    """One part of a line, with its place in it; `digest` only for a draft."""

    item: Item
    number: int
    what: Submission | Draft
    digest: str = ""


class LinesRefused(Exception):
    """The registry refuses some of the lines of a batch, so none of the batch was written."""

    def __init__(self, results: dict[int, Result]) -> None:
        super().__init__(", ".join(str(line) for line in results))
        self.results = results


@dataclass(slots=True)
class Done:
    """Which record each part became, by line and place, and which of them are new."""

    ids: dict[tuple[int, int], str] = field(default_factory=dict)
    new: set[tuple[int, int]] = field(default_factory=set)

    def result(self, item: Item) -> Result:
        """What became of a line."""
        places = [(item.line, number) for number in range(len(item.parts))]
        outcome = Outcome.CREATED if self.new.intersection(places) else Outcome.ALREADY_HERE
        return Result(item.line, outcome, tuple(self.ids[place] for place in places))


def in_batches(lines: Iterable[Item | Result], by: Actor) -> Iterator[Result]:
    """Write lines a batch at a time, each batch in a transaction of its own.

    Parameters
    ----------
    lines : iterable of Item or Result
        In the order of the file; a `Result` is passed on as it is.
    by : Actor
        The shop that imports.

    Yields
    ------
    Result
        One a line, in the order of the file, once its batch is written.

    Raises
    ------
    RegistryError
        What is not about a line, such as `StorageBusy`; the batches before it stay written.
    """
    rest = iter(lines)
    while batch := list(islice(rest, BATCH)):
        items = [line for line in batch if isinstance(line, Item)]
        results = {line.line: line for line in batch if isinstance(line, Result)}
        results |= write_batch(items, by)
        yield from (results[line.line] for line in batch)


def write_batch(items: Sequence[Item], by: Actor) -> dict[int, Result]:
    """Write all lines of a batch that can be written, in one transaction.

    The door takes all of a call or nothing, so the lines that it refuses are left out and the
    rest handed in again; a line that rests on a refused one is refused then.
    """
    results: dict[int, Result] = {}
    rest = list(items)
    while rest:
        try:
            with writing():
                written = _written(rest, by)
        except LinesRefused as error:
            results |= error.results
            rest = [item for item in rest if item.line not in results]
        else:
            return results | {item.line: written.result(item) for item in rest}
    return results


def _written(items: Sequence[Item], by: Actor) -> Done:
    # Under the log's lock, so that of two imports of one file the second sees what the first kept.
    lock_log()
    parts = [part for item in items for part in _parts(item)]
    known = _known_rows([part.digest for part in parts if part.digest], by)
    fresh: dict[str, Part] = {}
    for part in parts:
        if part.digest not in known:
            fresh.setdefault(part.digest or f"{part.item.line} {part.number}", part)
    done = Done()
    for is_draft, run in groupby(fresh.values(), key=lambda part: bool(part.digest)):
        _hand_in(list(run), by, done, are_drafts=is_draft)
    _keep(fresh.values(), by, done)
    known |= {digest: done.ids[part.item.line, part.number] for digest, part in fresh.items()}
    for part in parts:
        if part.digest:
            done.ids[part.item.line, part.number] = known[part.digest]
    return done


def _parts(item: Item) -> Iterator[Part]:
    for number, what in enumerate(item.parts):
        yield Part(item, number, what, "" if isinstance(what, Submission) else draft_digest(what))


def draft_digest(draft: Draft) -> str:
    """Give what a draft is recognised by: SHA-256 of what it says, however it was written."""
    said = {**document_of(draft), "kind": draft.kind}
    said.pop("author", None)
    return hashlib.sha256(canonical_bytes(said)).hexdigest()


def _known_rows(digests: Sequence[str], by: Actor) -> dict[str, str]:
    rows = ImportedRow._default_manager.filter(shop=by.handle, digest__in=digests)
    return dict(rows.values_list("digest", "record"))


def _hand_in(run: Sequence[Part], by: Actor, done: Done, *, are_drafts: bool) -> None:
    try:
        if are_drafts:
            drafts = [part.what for part in run if not isinstance(part.what, Submission)]
            appended: Sequence[Appended] = write_drafts(drafts=drafts, by=by)
        else:
            signed = [part.what for part in run if isinstance(part.what, Submission)]
            appended = append_records(submissions=signed, by=by)
    except RegistryError as error:
        raise LinesRefused(_by_line(error, run)) from error
    for part, one in zip(run, appended, strict=True):
        place = (part.item.line, part.number)
        done.ids[place] = one.record_id
        if one.is_new:
            done.new.add(place)


def _by_line(error: RegistryError, run: Sequence[Part]) -> dict[int, Result]:
    """Sort refusals by the line that they are about; one that is about no line goes on as it is."""
    by_line: dict[int, list[RegistryError]] = {}
    items = {part.item.line: part.item for part in run}
    for one in each_of(error):
        if one.submission is None:
            raise error
        part = run[one.submission]
        one.submission = part.number
        found = by_line.setdefault(part.item.line, [])
        # The later parts of a row rest on the first: what is wrong with that one is the cause.
        if not found or found[0].submission == part.number:
            found.append(one)
    return {
        line: refused(line, errors, under=items[line].under, sheets=items[line].sheets)
        for line, errors in by_line.items()
    }


def _keep(parts: Iterable[Part], by: Actor, done: Done) -> None:
    rows = [
        ImportedRow(
            shop_id=by.handle,
            digest=part.digest,
            record=done.ids[part.item.line, part.number],
        )
        for part in parts
        if part.digest
    ]
    ImportedRow._default_manager.bulk_create(rows, batch_size=ROWS_AT_ONCE)
