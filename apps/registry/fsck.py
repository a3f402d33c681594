"""Check that everything stored is what it claims to be: each record, the log, and the index."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import islice
from typing import Any

from django.db import models as django_models

from apps.records.canonical import record_id
from apps.records.errors import InvalidRecord
from apps.records.folding import Fold
from apps.records.reading import read_record
from apps.records.signing import PrivateKey
from apps.registry import models
from apps.registry.clustering import all_placed
from apps.registry.conditions import folded_rows
from apps.registry.erased import is_erased_soundly, still_whole
from apps.registry.errors import BadSignature
from apps.registry.histories import read_folds
from apps.registry.indexing import INDEX_TABLES, rows_of
from apps.registry.key_ring import KeyRing, read_ring
from apps.registry.like_rows import (
    keys_of,
    keys_without_a_ski,
    like_rows,
    like_values,
    likenesses,
    model_keys,
    text_batches,
)
from apps.registry.linking import Placed, alone, new_ski
from apps.registry.models.rows import IndexRow
from apps.registry.rebuild import registrations, ski_batches
from apps.registry.record_rows import repeated_columns
from apps.registry.reindexing import new_tag
from apps.registry.signatures import rank_of, signing_key
from apps.registry.storage import snapshot
from apps.registry.submissions import Entry, Submission, entry_of
from apps.registry.tree_check import Fault, FaultyNode, faulty_nodes

MOST_PROBLEMS = 100
REWRITTEN = (
    "The hash tree has another record at this place: this one was put there after the log had "
    "grown over it. Don't rebuild; the tree is the witness."
)

Rows = dict[str, dict[str, Any]]


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is not as it should be.

    Parameters
    ----------
    code : str
        Stable name.
    table : str
        Table of the row.
    row : str
        Its key, or the place in the log.
    sentence : str
        What is wrong with it.
    """

    code: str
    table: str
    row: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Report:
    """What a check found; `problems` begins with the first bad row and stops at a hundred."""

    records: int
    skis: int
    problems: tuple[Problem, ...]

    @property
    def is_sound(self) -> bool:
        """Whether nothing was found."""
        return not self.problems


def fsck() -> Report:
    """Check the log first, and the index only where the log is sound.

    An index can be made again from a sound log; against a broken one it says nothing. It all
    reads one state of the database, so that a node may go on writing.
    """
    with snapshot():
        problems = tuple(islice(log_problems(), MOST_PROBLEMS))
        if not problems:
            problems = tuple(islice(index_problems(), MOST_PROBLEMS))
        return Report(
            records=models.Record.objects.count(),
            skis=models.Ski._default_manager.values("cluster").distinct().count(),
            problems=problems,
        )


def log_problems() -> Iterator[Problem]:
    """Check each record in the order of the log: its place, id, bytes, columns and signature."""
    ring = KeyRing()
    size, is_whole = 0, True
    for row in models.Record.objects.order_by("log_index").iterator(chunk_size=500):
        if row.log_index != size:
            yield _of_log("hole-in-log", str(size), f"The log has no record at place {size}.")
            size, is_whole = row.log_index, False
        size += 1
        yield from record_problems(row, ring)
    heads = list(_head_problems(size))
    yield from heads
    # The tree says nothing of a log that lacks a place; the hole is named already.
    if is_whole and not heads:
        yield from tree_problems(size)
    yield from _unerased_problems()


def _head_problems(size: int) -> Iterator[Problem]:
    head = models.LogHead._default_manager.first()
    said = head.size if head else 0
    if said != size:
        sentence = f"The head says the log has {said} records, and it has {size}."
        yield Problem("wrong-log-size", "loghead", "1", sentence)


def record_problems(row: models.Record, ring: KeyRing) -> Iterator[Problem]:
    """Check one record; what can't be read is not checked further.

    Keys come from the records before it, so that no row of an index vouches for a signature.
    """
    if row.erased_by:
        yield from _erased_problems(row)
        return
    data = bytes(row.document)
    if record_id(data) != row.id:
        yield _of_log("wrong-id", row.id, "The id is not the SHA-256 of the bytes.")
        return
    try:
        record = read_record(data)
    except InvalidRecord as error:
        yield _of_log("unreadable", row.id, f"The bytes are no record: {error}.")
        return
    entry = entry_of(0, record, Submission(data, row.signature))
    for column, value in repeated_columns(entry).items():
        if getattr(row, column) != value:
            sentence = f"The column {column} says something else than the bytes."
            yield _of_log("wrong-column", row.id, sentence)
    yield from _signature_problems(row, entry, ring)
    ring.take(entry, row.log_index)


def _erased_problems(row: models.Record) -> Iterator[Problem]:
    if not is_erased_soundly(row):
        sentence = "Its bytes are gone, and no erasure record that counts says why."
        yield _of_log("wrong-erasure", row.id, sentence)


def _unerased_problems() -> Iterator[Problem]:
    for record, erasure in still_whole():
        sentence = f"Record {erasure} erases it, and its bytes are still here."
        yield _of_log("wrong-erasure", record, sentence)


def tree_problems(size: int) -> Iterator[Problem]:
    """Hold the hash tree against the records: what was rewritten has another leaf than it had."""
    for one in faulty_nodes(size):
        if one.record_id:
            yield _of_log("wrong-leaf", one.record_id, REWRITTEN)
        elif one.fault is Fault.WRONG:
            yield Problem("wrong-row", "treenode", _named(one), "It isn't the hash of those below.")
        else:
            faults = {Fault.MISSING: _missing, Fault.EXTRA: _extra}
            yield faults[one.fault]("treenode", _named(one))


def _named(faulty: FaultyNode) -> str:
    return f"{faulty.node.level}/{faulty.node.position}"


def _signature_problems(row: models.Record, entry: Entry, ring: KeyRing) -> Iterator[Problem]:
    try:
        key = signing_key(entry, ring, row.log_index)
    except BadSignature as error:
        yield _of_log("bad-signature", row.id, error.sentence)
    else:
        if row.rank != rank_of(row.author, key):
            sentence = "The column rank says something else than the record of its key."
            yield _of_log("wrong-column", row.id, sentence)


def _of_log(code: str, row: str, sentence: str) -> Problem:
    return Problem(code, "record", row, sentence)


def signing_key_problems() -> Iterator[Problem]:
    """Compare the keys with the records that began and ended them, and those the node keeps."""
    stored = models.SigningKey.objects.all()
    said = read_ring().keys
    yield from _compare("signingkey", _by_key(stored), _by_key(said.values()))
    for kept in models.KeptKey.objects.order_by("key_id"):
        if not _is_live(kept, said.get(PrivateKey.from_seed(bytes(kept.private)).key_id)):
            sentence = "It is no live key of its shop that the node keeps."
            yield Problem("wrong-kept-key", "keptkey", kept.key_id, sentence)


def _is_live(kept: models.KeptKey, key: models.SigningKey | None) -> bool:
    if key is None or key.ends_at is not None or key.held_by != "node":
        return False
    return (key.key_id, key.author) == (kept.key_id, kept.shop_id)


def tag_problems() -> Iterator[Problem]:
    """Compare tags and skis with the descriptions that registered them and the links."""
    expected: dict[str, str] = {}
    for key, record in registrations():
        expected.setdefault(key, record)
    placed = all_placed()
    skis = {where.ski: where for where in (placed.get(key) or alone(key) for key in expected)}
    for tag in models.Tag.objects.order_by("key").iterator():
        record = expected.pop(tag.key, "")
        said = {tag.key: row_values(new_tag(tag.key, record, placed.get(tag.key)))}
        yield from _compare("tag", {tag.key: row_values(tag)}, said if record else {})
    yield from (_missing("tag", key) for key in sorted(expected))
    yield from _ski_problems(skis)


def _ski_problems(expected: dict[str, Placed]) -> Iterator[Problem]:
    for ski in models.Ski._default_manager.order_by("key").iterator():
        placed = expected.pop(ski.key, None)
        said = {ski.key: row_values(new_ski(placed))} if placed else {}
        yield from _compare("ski", {ski.key: row_values(ski)}, said)
    yield from (_missing("ski", key) for key in sorted(expected))


def index_problems() -> Iterator[Problem]:
    """Compare tags, index rows, conditions, wear and likeness with what a rebuild would make."""
    yield from signing_key_problems()
    yield from tag_problems()
    for keys in ski_batches():
        folds = read_folds(keys)
        yield from _folded_problems(keys, folds)
        yield from _like_problems(keys, folds)
        made = _expected_rows(folds.values())
        for table in INDEX_TABLES:
            stored = table._default_manager.filter(tag__ski__cluster__in=keys)
            yield from _compare(table._meta.model_name or "", _by_key(stored), made[table])
    yield from _key_problems()


def _folded_problems(keys: list[str], folds: Mapping[str, Fold]) -> Iterator[Problem]:
    made = list(folded_rows(folds))
    conditions = models.Condition.objects.filter(ski__cluster__in=keys)
    yield from _compare("condition", _by_key(conditions), _by_key(row for row, _ in made))
    wear = models.Wear._default_manager.filter(ski__cluster__in=keys)
    yield from _compare("wear", _by_key(wear), _by_key(row for _, rows in made for row in rows))


def _like_problems(keys: list[str], folds: Mapping[str, Fold]) -> Iterator[Problem]:
    made = [like_rows(key, fold) for key, fold in folds.items()]
    stored = likenesses().filter(ski__cluster__in=keys)
    yield from _compare("likeness", _by_key(stored), _by_key(one.likeness for one in made))
    values = like_values().filter(ski__cluster__in=keys)
    said = _by_key(value for one in made for value in one.values)
    yield from _compare("likevalue", _by_key(values), said)


def _key_problems() -> Iterator[Problem]:
    """Compare the keys of texts with the texts that skis have, which were compared before."""
    for texts in text_batches():
        stored = model_keys().filter(text__in=texts)
        yield from _compare("modelkey", _by_key(stored), _by_key(keys_of(texts)))
    for stray in keys_without_a_ski().order_by("key", "text"):
        yield _extra("modelkey", row_key(stray))


def _expected_rows(folds: Iterable[Fold]) -> dict[type[IndexRow], Rows]:
    made: dict[type[IndexRow], Rows] = {table: {} for table in INDEX_TABLES}
    for fold in folds:
        for folded in fold.records:
            for row in rows_of(folded):
                made[type(row)][row_key(row)] = row_values(row)
    return made


def _compare(table: str, stored: Rows, expected: Rows) -> Iterator[Problem]:
    for key in sorted(stored.keys() | expected.keys()):
        if key not in stored:
            yield _missing(table, key)
        elif key not in expected:
            yield _extra(table, key)
        else:
            yield from _compare_row(table, key, stored[key], expected[key])


def _missing(table: str, key: str) -> Problem:
    return Problem("missing-row", table, key, "The records say this row, and it is missing.")


def _extra(table: str, key: str) -> Problem:
    return Problem("extra-row", table, key, "No record says this row.")


def _compare_row(
    table: str, key: str, stored: dict[str, Any], expected: dict[str, Any]
) -> Iterator[Problem]:
    wrong = sorted(name for name in expected if stored[name] != expected[name])
    if wrong:
        sentence = f"These columns differ from what the records say: {', '.join(wrong)}."
        yield Problem("wrong-row", table, key, sentence)


def _by_key(rows: Iterable[django_models.Model]) -> Rows:
    return {row_key(row): row_values(row) for row in rows}


def row_key(row: django_models.Model) -> str:
    """Name a row: its primary key, parts joined by a slash."""
    parts = row.pk if isinstance(row.pk, tuple) else (row.pk,)
    return "/".join(str(part) for part in parts)


def row_values(row: django_models.Model) -> dict[str, Any]:
    """Give what a row holds, by column."""
    return {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}
