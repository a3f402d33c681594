"""When a ski is due for the bench: by days out, by date, by an open finding, by its use."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import accumulate, pairwise

from apps.tuning.condition import Condition, OpenFinding, Use
from apps.tuning.history import Severity, Visit
from apps.tuning.practice import Practice
from apps.tuning.season import SeasonCalendar, season_calendar
from apps.tuning.uncertainty import coverage_factor

SEVERITIES: tuple[Severity, ...] = ("slight", "moderate", "severe")
OUT_OF_FLEET = frozenset({"retired", "sold", "missing"})
LEAST_SEASON_DAYS = 14
"""A shorter stretch says more of one week than of a season; practice."""
LEAST_STRETCHES = 3
"""Spread between two stretches is one number; practice."""
CONFIDENCE = 0.90


@dataclass(frozen=True, slots=True)
class UsePace:
    """How often a ski is out in season, from the reports of its use.

    Attributes
    ----------
    per_1000 : int
        Days out in a thousand days in season [d]; whole, so that a forecast made of it and a
        sum that a database makes of it agree to the day.
    variance : float or None
        Variance of days out a day in season [1]; None for fewer than three stretches.
    spread : float or None
        Variance of days out for each day in season around that [d]; None as above.
    stretches : int
        Stretches between reports that it rests on.
    """

    per_1000: int
    variance: float | None
    spread: float | None
    stretches: int

    @property
    def per_day(self) -> float:
        """Days out for each day in season [1]."""
        return self.per_1000 / 1000


@dataclass(frozen=True, slots=True)
class UseDue:
    """When use makes a ski due.

    Attributes
    ----------
    days_low, days_high : int or None
        Days out since the last job, or all of them where no job is on record; None where use
        was never reported.
    last_report : str
        Record of the last report, "" without one.
    last_day : date or None
        Day of the last report.
    pace : UsePace or None
        None where the reports don't say.
    on : date or None
        Day on which the shop's days out are reached: on record, or by the pace.
    earliest, latest : date or None
        90 % limits of a forecast; None where they are reached on record, and where fewer than
        three stretches say nothing of the spread.
    reached : bool
        True where they are reached on record.
    """

    days_low: int | None = None
    days_high: int | None = None
    last_report: str = ""
    last_day: date | None = None
    pace: UsePace | None = None
    on: date | None = None
    earliest: date | None = None
    latest: date | None = None
    reached: bool = False


@dataclass(frozen=True, slots=True)
class Due:
    """When a ski is due, by each reason for itself; None where the reason gives no day.

    Attributes
    ----------
    use : UseDue
        By days out.
    by_date : date
        By calendar days since the last job, or since the first record where no job is on record.
    by_finding : date or None
        Day of the worst open finding that the shop mends.
    in_fleet : bool
        False for a ski that is retired, sold or missing, which is due for nothing.
    """

    use: UseDue
    by_date: date
    by_finding: date | None
    in_fleet: bool

    @property
    def on(self) -> date | None:
        """The first of the three days."""
        days = [one for one in (self.use.on, self.by_date, self.by_finding) if one is not None]
        return min(days) if days and self.in_fleet else None


def due_of(ordered: Sequence[Visit], now: Condition, practice: Practice, *, since: date) -> Due:
    """Say when a ski is due.

    Parameters
    ----------
    ordered : sequence of Visit
        As `apps.tuning.history.in_order` gives them.
    now : Condition
        What they fold to.
    practice : Practice
        The shop's intervals and its season.
    since : date
        Day of the ski's first record, which counts where no job is on record.

    Returns
    -------
    Due
        It does not depend on today.
    """
    return Due(
        use_due(ordered, now.use, practice),
        _by_date([visit.day for visit in ordered if visit.kind == "job"] or [since], practice),
        _by_finding(worst_finding(now.open_findings), practice),
        now.status is None or now.status.status not in OUT_OF_FLEET,
    )


def worst_finding(findings: Iterable[OpenFinding]) -> OpenFinding | None:
    """The worst of the open findings, and of equally bad ones the first."""
    return min(
        findings,
        key=lambda one: (-SEVERITIES.index(one.finding.severity), one.day),
        default=None,
    )


def _by_date(days: Sequence[date], practice: Practice) -> date:
    since = days[-1]
    return since + timedelta(days=min(practice.due_after_calendar_days, (date.max - since).days))


def _by_finding(worst: OpenFinding | None, practice: Practice) -> date | None:
    if worst is None:
        return None
    least = SEVERITIES.index(practice.due_for_finding)
    return worst.day if SEVERITIES.index(worst.finding.severity) >= least else None


def use_due(ordered: Sequence[Visit], use: Use, practice: Practice) -> UseDue:
    """Say when days out make a ski due, on record or by its pace.

    Parameters
    ----------
    ordered : sequence of Visit
        As `apps.tuning.history.in_order` gives them.
    use : Use
        What they say of use; all days count where no job is on record.
    practice : Practice
        `due_after_days_out` and the season.

    Returns
    -------
    UseDue
        Days out since the last job count at their most: the report that covers days before and
        after the job counts as a whole.

    Notes
    -----
    Source: ratio estimator (Cochran, Sampling Techniques, 3rd edition, section 6.3) for the pace;
    first-order propagation (JCGM 100:2008, equation 10) for the time to reach the limit.
    """
    reports = [visit for visit in ordered if visit.usage_days is not None]
    high = use.total_days if use.since_job_high_days is None else use.since_job_high_days
    if not reports or high is None:
        return UseDue()
    low = high if use.since_job_low_days is None else use.since_job_low_days
    season = season_calendar(practice.season_first, practice.season_last)
    pace, last, limit = use_pace(reports, season), reports[-1], practice.due_after_days_out
    if high >= limit:
        on = _reached_on(_since_last_job(ordered), limit)
        return UseDue(low, high, last.record, last.day, pace, on, reached=True)
    days = _forecast((limit - high, limit - low), pace, season.through(last.day), season)
    return UseDue(low, high, last.record, last.day, pace, *days)


def _since_last_job(ordered: Sequence[Visit]) -> Sequence[Visit]:
    jobs = [number for number, visit in enumerate(ordered) if visit.kind == "job"]
    return ordered[jobs[-1] + 1 :] if jobs else ordered


def _reached_on(visits: Sequence[Visit], limit: int) -> date:
    totals = accumulate(visit.usage_days or 0 for visit in visits)
    return next(visit.day for visit, days in zip(visits, totals, strict=True) if days >= limit)


def use_pace(reports: Sequence[Visit], season: SeasonCalendar) -> UsePace | None:
    """How often a ski is out in season.

    Parameters
    ----------
    reports : sequence of Visit
        Visits that report use, in order of time.
    season : SeasonCalendar
        When skis are out.

    Returns
    -------
    UsePace or None
        None for fewer than two reports, for reports less than 14 days in season apart, and for
        a ski that was never out. The first report opens the first stretch and its own days are
        left out, for nobody knows when they began.

    Notes
    -----
    Source: ratio estimator and its variance (Cochran, Sampling Techniques, 3rd edition,
    section 6.3), each stretch between two reports a unit.
    """
    counts = [season.through(visit.day) for visit in reports]
    stretches = [later - earlier for earlier, later in pairwise(counts)]
    days = [visit.usage_days or 0 for visit in reports[1:]]
    length, number = sum(stretches), len(days)
    per_1000 = round(1000 * sum(days) / length) if length >= LEAST_SEASON_DAYS else 0
    if per_1000 == 0:
        return None
    if number < LEAST_STRETCHES:
        return UsePace(per_1000, None, None, number)
    beside = [1000 * out - per_1000 * one for out, one in zip(days, stretches, strict=True)]
    squares = sum(one**2 for one in beside) / 1e6 * number / (number - 1)
    return UsePace(per_1000, squares / length**2, squares / length, number)


def _forecast(
    wanted: tuple[int, int], pace: UsePace | None, from_count: int, season: SeasonCalendar
) -> tuple[date | None, date | None, date | None]:
    if pace is None:
        return None, None, None
    fewest, most = wanted
    on = season.day_of(from_count + -(-1000 * fewest // pace.per_1000))
    if pace.variance is None or pace.spread is None:
        return on, None, None
    soon = fewest / pace.per_day - _half_width(fewest, pace)
    late = most / pace.per_day + _half_width(most, pace)
    earliest = season.day_of(from_count + max(1, math.ceil(soon)))
    return on, earliest, season.day_of(from_count + math.ceil(late))


def _half_width(wanted: int, pace: UsePace) -> float:
    """Days in season either side of the forecast [d]."""
    length = wanted / pace.per_day
    variance = length * (pace.spread or 0.0) + length**2 * (pace.variance or 0.0)
    factor = coverage_factor(pace.stretches - 1, CONFIDENCE)
    return factor * math.sqrt(variance) / pace.per_day


def mend_days(severity: str, practice: Practice) -> int:
    """Days in which the shop mends an open finding of a severity [d]."""
    days = {
        "severe": practice.mend_severe_days,
        "moderate": practice.mend_moderate_days,
        "slight": practice.mend_slight_days,
    }
    return days[severity]
