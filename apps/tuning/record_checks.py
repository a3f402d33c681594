"""Records whose dates, order or number can't be right, whatever they say of the ski."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Sequence
from datetime import date, timedelta
from itertools import pairwise

from apps.tuning.figures import Sureness
from apps.tuning.history import Finding, Moment, Visit
from apps.tuning.history_warning import HistoryWarning
from apps.tuning.practice import Practice
from apps.tuning.told import told

ONE_DAY = timedelta(days=1)


def record_warnings(
    ordered: Sequence[Visit], practice: Practice, today: date
) -> Iterator[HistoryWarning]:
    """Dates, order, doubles, gaps and corrections that make a history doubtful.

    Parameters
    ----------
    ordered : sequence of Visit
        In order of time.
    practice : Practice
        Says how long a silence is remarked on.
    today : date
        The day it is now.

    Yields
    ------
    HistoryWarning
        One for each contradiction.
    """
    yield from _in_future(ordered, today)
    yield from _corrected_often(ordered)
    yield from _doubles(ordered)
    yield from _gaps(ordered, practice)
    yield from _after_retirement(ordered)
    yield from _order_unknown(ordered)
    yield from _wrong_side_of_work(ordered)
    yield from _closed_before_found(ordered)
    yield from _more_use_than_days(ordered)


def _in_future(ordered: Sequence[Visit], today: date) -> Iterator[HistoryWarning]:
    for visit in ordered:
        if visit.day > today:
            # East of here it may be tomorrow already.
            sure: Sureness = "possible" if visit.day - today == ONE_DAY else "certain"
            sentence = told(
                "dated-in-future",
                f"A record is dated {_on(visit)}, after today, {today.isoformat()}.",
                day=visit.day,
                today=today,
            )
            yield HistoryWarning("dated-in-future", sure, sentence, (visit.record,))


def _corrected_often(ordered: Sequence[Visit]) -> Iterator[HistoryWarning]:
    for visit in ordered:
        if visit.corrections > 1:
            sentence = told(
                "several-corrections",
                f"The record of {_on(visit)} has {visit.corrections} corrections; the latest is "
                "in effect.",
                day=visit.day,
                count=visit.corrections,
            )
            yield HistoryWarning("several-corrections", "certain", sentence, (visit.record,))


def _doubles(ordered: Sequence[Visit]) -> Iterator[HistoryWarning]:
    flagged: set[str] = set()
    for group in _groups(ordered, _fingerprint):
        flagged.update(visit.record for visit in group)
        yield _double(group, "certain")
    rest = [visit for visit in ordered if visit.record not in flagged]
    for group in _groups(rest, _content):
        # Reading the same twice on one day is also good practice.
        yield _double(group, "possible" if group[0].kind == "measurement" else "likely")


def _double(group: Sequence[Visit], sure: Sureness) -> HistoryWarning:
    sentence = told(
        "double-entry",
        f"{len(group)} {group[0].kind} records of {_on(group[0])} say the same.",
        count=len(group),
        record_kind=group[0].kind,
        day=group[0].day,
    )
    return HistoryWarning("double-entry", sure, sentence, _records(*group))


def _groups(ordered: Iterable[Visit], key: Callable[[Visit], Hashable | None]) -> list[list[Visit]]:
    found: dict[Hashable, list[Visit]] = {}
    for visit in ordered:
        value = key(visit)
        if value is not None:
            found.setdefault(value, []).append(visit)
    return [group for group in found.values() if len(group) > 1]


def _fingerprint(visit: Visit) -> Hashable | None:
    return visit.fingerprint or None


def _content(visit: Visit) -> Hashable | None:
    findings = tuple(_without_record(finding) for finding in visit.findings)
    lists = (findings, visit.steps, visit.readings, visit.profiles, visit.bevels)
    if not any(lists) and visit.usage_days is None and visit.status is None:
        return None
    return (visit.day, visit.kind, visit.author, *lists, visit.usage_days, visit.status)


def _without_record(finding: Finding) -> Hashable:
    """What a finding says; its key differs between two entries of the same thing."""
    return (
        finding.what,
        finding.severity,
        finding.open,
        finding.place,
        finding.depth_mm,
        finding.width_mm,
        finding.closes,
    )


def _gaps(ordered: Sequence[Visit], practice: Practice) -> Iterator[HistoryWarning]:
    for before, after in pairwise(ordered):
        silent = (after.day - before.day).days
        if silent > practice.long_gap_days:
            sentence = told(
                "long-gap",
                f"Nothing is on record for {silent} days between {_on(before)} and {_on(after)}; "
                "work done meanwhile may be missing.",
                count=silent,
                earlier_day=before.day,
                later_day=after.day,
            )
            yield HistoryWarning("long-gap", "possible", sentence, _records(before, after))


def _after_retirement(ordered: Sequence[Visit]) -> Iterator[HistoryWarning]:
    retired: Visit | None = None
    for visit in ordered:
        if visit.status is not None:
            retired = visit if visit.status == "retired" else None
        elif visit.steps and retired is not None:
            sentence = told(
                "work-after-retired",
                f"Work of {_on(visit)} follows retirement on {_on(retired)}.",
                day=visit.day,
                retired_day=retired.day,
            )
            yield HistoryWarning("work-after-retired", "likely", sentence, _records(retired, visit))


def _order_unknown(ordered: Sequence[Visit]) -> Iterator[HistoryWarning]:
    for group in _groups(ordered, lambda visit: visit.day if visit.steps else None):
        authors = sorted({visit.author for visit in group})
        if len(authors) > 1 and any(visit.instant is None for visit in group):
            sentence = told(
                "order-unknown",
                f"{' and '.join(authors)} worked the ski on {_on(group[0])}, not all of them with "
                "a time of day, so which work came first is not known.",
                shops=", ".join(authors),
                day=group[0].day,
            )
            yield HistoryWarning("order-unknown", "possible", sentence, _records(*group))


def _wrong_side_of_work(ordered: Sequence[Visit]) -> Iterator[HistoryWarning]:
    for visit in ordered:
        jobs = [job for job in ordered if job.kind == "job" and job.day == visit.day]
        times = [job.instant for job in jobs if job.instant is not None]
        if visit.kind == "job" or visit.instant is None or not jobs or len(times) < len(jobs):
            continue
        for moment, wrong in (
            ("before", visit.instant > max(times)),
            ("after", visit.instant < min(times)),
        ):
            if wrong and moment in _moments(visit):
                sentence = told(
                    "reading-against-its-time",
                    f"A reading of {_on(visit)} is said to be from {moment} the work, and its "
                    f"time, {visit.local_time}, says otherwise.",
                    day=visit.day,
                    moment=moment,
                    time=visit.local_time,
                )
                records = _records(visit, *jobs)
                yield HistoryWarning("out-of-order", "likely", sentence, records)


def _moments(visit: Visit) -> set[Moment | None]:
    readings = {one.moment for one in visit.readings}
    profiles = {one.moment for one in visit.profiles}
    return readings | profiles | {one.moment for one in visit.bevels}


def _closed_before_found(ordered: Sequence[Visit]) -> Iterator[HistoryWarning]:
    found_in = {visit.record: number for number, visit in enumerate(ordered) if visit.findings}
    for number, visit in enumerate(ordered):
        for finding in visit.findings:
            if finding.closes is None or found_in.get(finding.closes.record, number) <= number:
                continue
            found = ordered[found_in[finding.closes.record]]
            sentence = told(
                "closed-before-found",
                f"A finding of {_on(found)} is closed on {_on(visit)}, before it was made.",
                found_day=found.day,
                day=visit.day,
            )
            yield HistoryWarning("out-of-order", "likely", sentence, _records(visit, found))


def _more_use_than_days(ordered: Sequence[Visit]) -> Iterator[HistoryWarning]:
    reports = [visit for visit in ordered if visit.usage_days is not None]
    for before, after in pairwise(reports):
        # The day of the earlier report may have been a day out after it was written.
        days = max(0, (after.day - before.day).days) + 1
        if after.usage_days is not None and after.usage_days > days:
            sentence = told(
                "more-use-than-days",
                f"{after.usage_days} days of use are reported on {_on(after)}, and only {days} "
                f"days have passed since the report of {_on(before)}.",
                used_days=after.usage_days,
                day=after.day,
                count=days,
                earlier_day=before.day,
            )
            yield HistoryWarning("out-of-order", "likely", sentence, _records(before, after))


def _on(visit: Visit) -> str:
    return visit.day.isoformat()


def _records(*visits: Visit) -> tuple[str, ...]:
    return tuple(visit.record for visit in visits)
