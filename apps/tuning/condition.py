"""The history of a ski folded to its state now: what stands, what is left, what is in doubt."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from apps.tuning.bevel_track import touch_of
from apps.tuning.bevels import bevels_of
from apps.tuning.centre_groove import CentreGroove, centre_groove_of
from apps.tuning.conformity_checks import JobConformity
from apps.tuning.conformity_now import conformity_of
from apps.tuning.flatness_now import FlatnessNow, flatness_of
from apps.tuning.history import Edge, Finding, FindingKey, Visit, in_order
from apps.tuning.material import Material, material_of
from apps.tuning.plausibility import HistoryWarning, warnings_of
from apps.tuning.practice import Practice
from apps.tuning.rates import LearnedRate
from apps.tuning.standing import EdgeBevels
from apps.tuning.texture_now import TextureNow, texture_of
from apps.tuning.timeline import worked_edges
from apps.tuning.twist_now import TwistNow, twists_of

__all__ = [
    "Condition",
    "Counts",
    "EdgePasses",
    "FlatnessNow",
    "OpenFinding",
    "StatusNow",
    "Use",
    "fold",
]

GRINDS = frozenset({"stone_grind", "belt_grind"})


@dataclass(frozen=True, slots=True)
class OpenFinding:
    """A finding that nobody has closed."""

    finding: Finding
    day: date
    author: str


@dataclass(frozen=True, slots=True)
class StatusNow:
    """The latest status record."""

    status: str
    record: str
    day: date


@dataclass(frozen=True, slots=True)
class Use:
    """Days out on snow, as reported.

    Attributes
    ----------
    total_days : int or None
        All days reported; None where nobody ever reported use.
    since_job_low_days, since_job_high_days : int or None
        Days since the last job. They differ where one report covers days before and after it.
        None where use or a job was never recorded.
    days_since_job : int or None
        Calendar days since the last job.
    last_job : str or None
        Record of the last job.
    rests_on : tuple of str
        Records of use.
    """

    total_days: int | None
    since_job_low_days: int | None
    since_job_high_days: int | None
    days_since_job: int | None
    last_job: str | None
    rests_on: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class EdgePasses:
    """How often each bevel of one edge was worked on record, each step counted once."""

    edge: Edge
    side: int
    base: int


@dataclass(frozen=True, slots=True)
class Counts:
    """Plain counts of what is on record.

    Attributes
    ----------
    records, jobs : int
        Effective records of any kind, and visits to a bench.
    grinds : int
        Steps that ground the base by stone or belt.
    edge_passes : tuple of EdgePasses
        For the left and the right edge, since ever.
    operations : tuple of (str, int)
        Every operation with how many steps name it, by name.
    """

    records: int
    jobs: int
    grinds: int
    edge_passes: tuple[EdgePasses, EdgePasses]
    operations: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Condition:
    """A ski as its history leaves it at the end of a day.

    Attributes
    ----------
    as_of : date
        The day it holds for.
    bevels : tuple of EdgeBevels
        Left and right.
    material : Material
        Steel and base left, what is unknown, and what work on record took.
    flatness : tuple of FlatnessNow
        Latest profile of each place, the newest first; empty where nobody took one.
    open_findings : tuple of OpenFinding
        In order of time.
    status : StatusNow or None
        None where nobody stated one.
    use : Use
        Days out.
    counts : Counts
        What is on record.
    warnings : tuple of HistoryWarning
        Where the history contradicts itself.
    centre_groove : CentreGroove or None
        None where nobody said anything of it.
    twist : tuple of TwistNow
        Between stations with a profile that holds; empty where there are fewer than two.
    texture : TextureNow or None
        From the latest trace; None where nobody took one.
    conformity : JobConformity or None
        Of the latest job with a target that can be measured; None where no job has one.
    """

    as_of: date
    bevels: tuple[EdgeBevels, EdgeBevels]
    material: Material
    flatness: tuple[FlatnessNow, ...]
    open_findings: tuple[OpenFinding, ...]
    status: StatusNow | None
    use: Use
    counts: Counts
    warnings: tuple[HistoryWarning, ...]
    centre_groove: CentreGroove | None = None
    twist: tuple[TwistNow, ...] = ()
    texture: TextureNow | None = None
    conformity: JobConformity | None = None

    def edge(self, edge: Edge) -> EdgeBevels:
        """The bevels of one edge."""
        left, right = self.bevels
        return left if edge == "left" else right


def fold(
    visits: Iterable[Visit],
    *,
    practice: Practice,
    today: date,
    as_of: date | None = None,
    learned: Iterable[LearnedRate] = (),
) -> Condition:
    """Fold a history to the state it leaves the ski in.

    Parameters
    ----------
    visits : iterable of Visit
        Effective records of one ski in any order; any order gives the same answer.
    practice : Practice
        The shop's settings.
    today : date
        The day it is now; records after it are flagged, and folded like the others unless
        `as_of` leaves them out, for a wrong date is likelier than a job that is still to come.
    as_of : date, optional
        The state at the end of that day, by what is known now; today if left out.
    learned : iterable of LearnedRate
        Rates from the shop's own readings, for the services left.

    Returns
    -------
    Condition
        Every figure in it names its method, its basis and the records it rests on.
    """
    ordered = in_order(one for one in visits if as_of is None or one.day <= as_of)
    day = today if as_of is None else as_of
    return Condition(
        day,
        bevels_of(ordered, practice=practice),
        material_of(ordered, practice=practice, learned=learned),
        flatness_of(ordered, practice=practice),
        open_findings(ordered),
        _status(ordered),
        _use(ordered, day),
        _counts(ordered),
        warnings_of(ordered, practice=practice, today=today),
        centre_groove_of(ordered),
        twists_of(ordered, practice=practice),
        texture_of(ordered),
        conformity_of(ordered, practice=practice),
    )


def open_findings(ordered: Iterable[Visit]) -> tuple[OpenFinding, ...]:
    """Findings that were left open and that no later finding closes, in order of time.

    A finding that is closed before it was made stays open: the dates are in doubt, and damage
    is not to be lost sight of.
    """
    still: dict[FindingKey, OpenFinding] = {}
    for visit in ordered:
        for finding in visit.findings:
            if finding.open:
                still[finding.key] = OpenFinding(finding, visit.day, visit.author)
        for finding in visit.findings:
            if finding.closes is not None and finding.closes != finding.key:
                still.pop(finding.closes, None)
    return tuple(still.values())


def _status(ordered: Iterable[Visit]) -> StatusNow | None:
    latest = None
    for visit in ordered:
        if visit.status is not None:
            latest = StatusNow(visit.status, visit.record, visit.day)
    return latest


def _use(ordered: Sequence[Visit], day: date) -> Use:
    jobs = [number for number, visit in enumerate(ordered) if visit.kind == "job"]
    reports = [
        (number, visit.usage_days)
        for number, visit in enumerate(ordered)
        if visit.usage_days is not None
    ]
    last_job = jobs[-1] if jobs else None
    low, high = _since_job(reports, last_job)
    job = None if last_job is None else ordered[last_job]
    return Use(
        sum(days for _, days in reports) if reports else None,
        low,
        high,
        None if job is None else max(0, (day - job.day).days),
        None if job is None else job.record,
        tuple(ordered[number].record for number, _ in reports),
    )


def _since_job(
    reports: Sequence[tuple[int, int]], last_job: int | None
) -> tuple[int | None, int | None]:
    """Days since the last job, between those surely and those possibly after it.

    A report speaks of the time since the report before it. The first one after a job also
    covers days before the job, and nobody can tell how many.
    """
    if not reports or last_job is None:
        return None, None
    after = [days for number, days in reports if number > last_job]
    return sum(after[1:]), sum(after)


def _counts(ordered: Sequence[Visit]) -> Counts:
    steps = [step for visit in ordered for step in visit.steps]
    operations = Counter(step.operation for step in steps)
    return Counts(
        len(ordered),
        sum(visit.kind == "job" for visit in ordered),
        sum(operations[name] for name in GRINDS),
        (_passes(ordered, "left"), _passes(ordered, "right")),
        tuple(sorted(operations.items())),
    )


def _passes(ordered: Iterable[Visit], edge: Edge) -> EdgePasses:
    steps = [step for visit in ordered for step in visit.steps if edge in worked_edges(step)]
    return EdgePasses(
        edge,
        side=sum(touch_of(step, "side") == "worked" for step in steps),
        base=sum(touch_of(step, "base") == "worked" for step in steps),
    )
