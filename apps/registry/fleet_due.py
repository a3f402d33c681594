"""Which skis of a fleet are due, why and how urgently: one query over the kept columns.

What a ski is due by is kept with it and does not change overnight. How long ago that was does,
so the query reckons it from the day that is asked for.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from django.db.models import Case, F, Func, IntegerField, Q, Value, When
from django.db.models.expressions import Combinable
from django.db.models.functions import Coalesce, Greatest

from apps.registry.fleet import Row, Selection
from apps.tuning.due import SEVERITIES, mend_days
from apps.tuning.practice import Practice
from apps.tuning.season import season_calendar

PERMILLE = 1000


class DaysSince(Func):
    """Whole days from a column of dates to a day; negative for one that is still to come."""

    output_field = IntegerField()
    arity = 2

    def __init__(self, column: str | Combinable, day: date) -> None:
        super().__init__(column, Value(day.isoformat()))

    def as_sqlite(self, compiler: Any, connection: Any, **extra_context: Any) -> Any:  # noqa: ARG002 - theirs
        """Two Julian days are both half a day beside a whole number; their difference is whole."""
        template = "CAST(julianday(%(day)s) - julianday(%(column)s) AS INTEGER)"
        return self._filled(template, compiler)

    def as_postgresql(self, compiler: Any, connection: Any, **extra_context: Any) -> Any:  # noqa: ARG002 - theirs
        """A date less a date is a whole number."""
        return self._filled("(CAST(%(day)s AS date) - %(column)s)", compiler)

    def _filled(self, template: str, compiler: Any) -> tuple[str, list[Any]]:
        column, day = self.get_source_expressions()
        (written, mine), (asked, theirs) = compiler.compile(column), compiler.compile(day)
        return template % {"day": asked, "column": written}, [*theirs, *mine]


@dataclass(frozen=True, slots=True)
class DuePlace:
    """The ski after which a page begins, and how urgent it is [permille]."""

    urgency: int
    ski: str


@dataclass(frozen=True, slots=True)
class Asked:
    """What is asked of a fleet.

    Parameters
    ----------
    on : date
        The day for which it is asked.
    within_days : int
        Days after it within which a ski may still become due [d].
    practice : Practice
        The shop's intervals and season.
    """

    on: date
    within_days: int
    practice: Practice

    @property
    def until(self) -> date:
        """The last day on which a ski may become due."""
        return self.on + timedelta(days=self.within_days)


def urgencies(asked: Asked) -> dict[str, Combinable]:
    """How near each interval is, in thousandths of it, by the name of the reason.

    Parameters
    ----------
    asked : Asked
        For which day, by whose intervals.

    Returns
    -------
    dict of str to expression
        Days out by use, over the shop's days out; days since the last job, over the shop's days;
        and for an open finding that the shop mends one whole and the days that it has been open,
        the day it was found counted, over the days in which the shop mends such a one. 1000 is
        just due; `urgency` is the greatest of the three. A reason that makes the ski due later
        than is asked for, or never, counts 0.
    """
    by = {
        "use_urgency": _by_use(asked),
        "date_urgency": _by_date(asked),
        "finding_urgency": _by_finding(asked),
    }
    return {**by, "urgency": Greatest(*(F(name) for name in by))}


def _by_use(asked: Asked) -> Combinable:
    practice = asked.practice
    season_day = season_calendar(practice.season_first, practice.season_last).through(asked.on)
    gone = Greatest(Value(season_day) - F("use_season_day"), Value(0))
    ahead = Coalesce(F("days_out_per_1000"), Value(0)) * gone
    days = F("days_out_since_job_high") * Value(PERMILLE) + ahead
    return _where("due_by_use", days / Value(practice.due_after_days_out), asked)


def _by_date(asked: Asked) -> Combinable:
    since = DaysSince(Coalesce(F("last_job_day"), F("first_day")), asked.on)
    days = Greatest(since, Value(0)) * Value(PERMILLE)
    return _where("due_by_date", days / Value(asked.practice.due_after_calendar_days), asked)


def _by_finding(asked: Asked) -> Combinable:
    mended_in = Case(
        *(
            When(worst_severity=one, then=Value(mend_days(one, asked.practice)))
            for one in SEVERITIES
        ),
        output_field=IntegerField(),
    )
    days = Greatest(DaysSince("worst_finding_day", asked.on) + Value(1), Value(0))
    open_for = Value(PERMILLE) + days * Value(PERMILLE) / mended_in
    return _where("due_by_finding", open_for, asked)


def _where(due: str, permille: Combinable, asked: Asked) -> Combinable:
    counts = When(**{f"{due}__lte": asked.until}, then=permille)
    return Case(counts, default=Value(0), output_field=IntegerField())


def due_rows(
    handle: str,
    asked: Asked,
    columns: Sequence[str],
    *,
    selection: Selection,
    after: DuePlace | None = None,
    size: int | None = None,
) -> Iterator[Row]:
    """Read the skis that are due, the most urgent first, ties by key: one query.

    Parameters
    ----------
    handle : str
        Whose fleet.
    asked : Asked
    columns : sequence of str
        What a row holds after its urgency and the ski's key; names of `Condition` or of
        `urgencies`.
    selection : Selection
        Which skis of the fleet.
    after : DuePlace, optional
        Where to begin.
    size : int, optional
        How many at most; all when left out.

    Yields
    ------
    tuple
        Urgency [permille], key, and the columns.
    """
    due = due_skis(handle, asked, selection)
    if after is not None:
        beyond = Q(urgency__lt=after.urgency) | Q(urgency=after.urgency, ski__gt=after.ski)
        due = due.filter(beyond)
    rows = due.order_by("-urgency", "ski").values_list("urgency", "ski", *columns)
    yield from rows[:size] if size is not None else rows.iterator()


def due_skis(handle: str, asked: Asked, selection: Selection) -> Any:
    """The skis that are due by the last day asked for, with how urgent each is."""
    return selection.of(handle).filter(due_on__lte=asked.until).annotate(**urgencies(asked))
