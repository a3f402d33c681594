"""An import from its file: lines of JSON or a table, line by line or all or nothing."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import islice
from typing import BinaryIO

from django.conf import settings
from django.utils import timezone

from apps.exchange.import_lines import Line, Skipped, changed_exports, lines_of, read_line
from apps.exchange.import_results import Outcome, Result, of_cells, unreadable
from apps.exchange.importing import BATCH, Item, in_batches
from apps.exchange.visit_cells import CellFault, TableForm
from apps.exchange.visit_table import MOST_FAULTS, Asker, Faults, Visit, registration, visits_of
from apps.records.canonical import canonical_bytes
from apps.records.errors import InvalidRecord
from apps.records.reading import document_of
from apps.registry.actors import Actor
from apps.registry.errors import UnknownTag
from apps.registry.models import Tag
from apps.registry.storage import writing
from apps.registry.submissions import Submission

TAGS_AT_ONCE = 500


class ImportRefused(Exception):
    """Nothing of the file was written.

    Parameters
    ----------
    results : list of Result
        The first of the refused lines, at least one.
    count : int
        How many things need mending in all.
    """

    def __init__(self, results: list[Result], count: int) -> None:
        what = "1 thing needs" if count == 1 else f"{count} things need"
        super().__init__(f"{what} mending.")
        self.results = results
        self.count = count


@dataclass(frozen=True, slots=True)
class Source:
    """A file to import, for a shop.

    Parameters
    ----------
    file : binary file
        Is read several times, so that it must stand still.
    by : Actor
        The shop that imports.
    table : TableForm or None
        How the table is written; None for lines of JSON.
    """

    file: BinaryIO
    by: Actor
    table: TableForm | None = None

    @property
    def asker(self) -> Asker:
        """Whose table it is."""
        return Asker(self.by.handle, settings.NODE_HOST, timezone.localdate())


def run_import(source: Source, *, whole: bool) -> Iterator[Result]:
    """Import a file; a table is checked whole before anything of it is written.

    Parameters
    ----------
    source : Source
    whole : bool
        Whether all lines are written or none; else each one that can be.

    Raises
    ------
    ImportRefused
        For a table with faults, and with `whole` for any line that is refused; at once, before
        the first result.
    RegistryError
        What is not about a line, such as `StorageBusy`.
    """
    check(source, whole=whole)
    results = in_batches(_items(source), source.by)
    return iter(_all_or_nothing(results)) if whole else results


def check(source: Source, *, whole: bool) -> None:
    """Read a whole file without writing, where nothing may be written of a file with faults.

    Raises
    ------
    ImportRefused
    """
    if source.table is not None:
        _check_table(source, source.table)
        return
    _refuse_if(unreadable(number, error) for number, error in changed_exports(source.file))
    if whole:
        _refuse_if(one for one in _json_items(source) if isinstance(one, Result))


def _items(source: Source) -> Iterator[Item | Result]:
    return _json_items(source) if source.table is None else _table_items(source, source.table)


def _all_or_nothing(results: Iterable[Result]) -> list[Result]:
    """Write all batches in one transaction, and undo it when a line is refused."""
    with writing():
        kept = list(results)
        _refuse_if(kept)
    return kept


def _refuse_if(results: Iterable[Result]) -> None:
    shown: list[Result] = []
    count = 0
    for one in results:
        if one.outcome is Outcome.REFUSED:
            if count < MOST_FAULTS:
                shown.append(one)
            count += len(one.faults)
    if shown:
        raise ImportRefused(shown, count)


def _json_items(source: Source) -> Iterator[Item | Result]:
    for line in lines_of(source.file):
        yield _json_item(line)


def _json_item(line: Line) -> Item | Result:
    try:
        read = read_line(line, node_host=settings.NODE_HOST)
    except InvalidRecord as error:
        return unreadable(line.number, error)
    if isinstance(read, Skipped):
        return Result(line.number, Outcome.SKIPPED, reason=read.reason)
    under = "/record" if isinstance(read, Submission) else ""
    return Item(line.number, (read,), under=under)


def _check_table(source: Source, form: TableForm) -> None:
    faults = Faults()
    visits = visits_of(source.file, form, source.asker, faults)
    while some := list(islice(visits, TAGS_AT_ONCE)):
        for fault in _foreign(some, source.by.handle):
            faults.add(fault)
    if faults.count:
        raise ImportRefused(of_cells(faults.kept), faults.count)


def _foreign(visits: list[Visit], handle: str) -> Iterator[CellFault]:
    """Name the rows on tags of other shops that no ski has; only an own tag is registered."""
    foreign = {one.tag_key for one in visits if one.drafts[0].ski.shop != handle}
    known = _registered(foreign)
    for visit in visits:
        if visit.tag_key in foreign - known:
            ski = visit.drafts[0].ski
            sentence = f"No ski is registered under the tag {ski.tag} of {ski.shop}."
            yield CellFault(visit.line, "tag", UnknownTag.code, sentence)


def _registered(keys: set[str]) -> set[str]:
    found = Tag.objects.filter(key__in=keys).values_list("key", flat=True)
    return set(found) if keys else set()


def _table_items(source: Source, form: TableForm) -> Iterator[Item]:
    told = Told(source.asker)
    visits = visits_of(source.file, form, source.asker, Faults())
    # As many at once as are written at once, so that the tags of the batch before are there.
    while some := list(islice(visits, BATCH)):
        told.registered = _registered({one.tag_key for one in some})
        yield from map(told.item, some)


@dataclass(slots=True)
class Told:
    """What the rows before have told of each ski, so that it isn't told again by the next row.

    Parameters
    ----------
    asker : Asker
    registered : set of str
        The tags that are on a ski, or will be by a row before.
    descriptions : dict
        Digest of the last description by tag: of one length, however long the text.
    """

    asker: Asker
    registered: set[str] = field(default_factory=set)
    descriptions: dict[str, bytes] = field(default_factory=dict)

    def item(self, visit: Visit) -> Item:
        """Give what is to be written of a row."""
        drafts, sheets = list(visit.drafts), list(visit.sheets)
        if self._is_told(visit):
            del drafts[0], sheets[0]
        elif visit.description is None and visit.tag_key not in self.registered:
            drafts.insert(0, registration(visit, self.asker))
            sheets.insert(0, sheets[0])
        self.registered.add(visit.tag_key)
        return Item(visit.line, tuple(drafts), sheets=tuple(sheets))

    def _is_told(self, visit: Visit) -> bool:
        """Say whether a row repeats what an earlier one told of the ski, and tells more besides."""
        if visit.description is None:
            return False
        digest = hashlib.sha256(canonical_bytes(document_of(visit.description.body))).digest()
        before = self.descriptions.get(visit.tag_key)
        self.descriptions[visit.tag_key] = digest
        return before == digest and len(visit.drafts) > 1
