"""Whether the latest job with a target met it, by what was measured when the work was done.

Only measurements count: a bevel that was set says what was meant, not what came out. Beside the
job's own readings those of records of their own count, taken later on the same day and before
the next job.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from apps.tuning.centre_groove import CentreGroove, centre_groove_of
from apps.tuning.conformity import (
    STANDARD,
    USUAL_CONFORMANCE_PROBABILITY,
    Conformity,
    Tolerance,
    judge_conformity,
)
from apps.tuning.conformity_checks import (
    BevelCheck,
    CheckOutcome,
    FlatnessCheck,
    JobConformity,
)
from apps.tuning.conformity_words import (
    bevel_sentence,
    flatness_sentence,
    job_sentence,
    unmeasured_bevel,
)
from apps.tuning.figures import in_turn
from apps.tuning.flatness_now import FlatnessNow, flatness_at, latest_profiles
from apps.tuning.history import EDGES, BevelStatement, Edge, Place, Target, Visit
from apps.tuning.practice import Practice
from apps.tuning.standing import Face
from apps.tuning.uncertainty import USUAL_COVERAGE_FACTOR, Estimate, standard_from_expanded

# What needs a hand comes first.
WORST_FIRST: tuple[CheckOutcome, ...] = ("fail", "undecided", "unmeasured", "pass")
NO_PROFILE = "Nobody laid a true bar on after the work, so the flatness asked for is unproved."


def conformity_of(ordered: Sequence[Visit], *, practice: Practice) -> JobConformity | None:
    """Judge the latest job that asks for something measurable; None where no job does.

    Parameters
    ----------
    ordered : sequence of Visit
        In order of time.
    practice : Practice
        Tolerance of a bevel, and uncertainties where records state none.
    """
    asking = [number for number, visit in enumerate(ordered) if _asks(visit.target)]
    if not asking:
        return None
    job, later = ordered[asking[-1]], ordered[asking[-1] + 1 :]
    groove = centre_groove_of(ordered)
    return job_conformity(job, practice=practice, later=later, groove=groove)


def job_conformity(
    job: Visit,
    *,
    practice: Practice,
    later: Sequence[Visit] = (),
    groove: CentreGroove | None = None,
) -> JobConformity | None:
    """Judge one job against its own target.

    Parameters
    ----------
    job : Visit
        The job, with its target and what was measured in it.
    practice : Practice
        Tolerance of a bevel, and uncertainties where records state none.
    later : sequence of Visit
        What came after it, in order of time; only readings of the same day before the next job
        count.
    groove : CentreGroove, optional
        Left out of a profile of the base.

    Returns
    -------
    JobConformity or None
        None where the job asks for nothing that can be measured.

    Notes
    -----
    Source: ISO 14253-1:2017; the tolerance of a bevel is the shop's practice.
    """
    target = job.target
    if target is None or not _asks(target):
        return None
    evidence = [job, *_same_day(job, later)]
    bevels = tuple(_bevel_checks(target, evidence, practice))
    flatness = tuple(_flatness_checks(target, evidence, groove, practice))
    found = [*(one.outcome for one in bevels), *(one.outcome for one in flatness)]
    outcome = next(word for word in WORST_FIRST if word in found)
    return JobConformity(
        job.record,
        job.day,
        outcome,
        STANDARD,
        USUAL_CONFORMANCE_PROBABILITY,
        bevels,
        flatness,
        job_sentence(job.day, outcome),
        in_turn(*(one.rests_on for one in bevels), *(one.rests_on for one in flatness)),
    )


def _asks(target: Target | None) -> bool:
    return target is not None and target != Target()


def _same_day(job: Visit, later: Iterable[Visit]) -> Iterator[Visit]:
    for visit in later:
        if visit.day != job.day or visit.kind == "job":
            return
        yield visit


def _bevel_checks(
    target: Target, evidence: Sequence[Visit], practice: Practice
) -> Iterator[BevelCheck]:
    wanted: tuple[tuple[Face, float | None], ...] = (
        ("base", target.base_bevel_deg),
        ("side", target.side_bevel_deg),
    )
    for edge in EDGES:
        for face, asked_deg in wanted:
            if asked_deg is not None:
                yield from _checks_of(edge, face, asked_deg, evidence, practice)


def _checks_of(
    edge: Edge, face: Face, asked_deg: float, evidence: Sequence[Visit], practice: Practice
) -> Iterator[BevelCheck]:
    latest: dict[tuple[int | None, int | None], tuple[Visit, BevelStatement, float]] = {}
    for visit in evidence:
        for stated in visit.bevels:
            bevel = stated.base_bevel_deg if face == "base" else stated.side_bevel_deg
            if bevel is not None and _is_proof(stated, edge):
                span = (stated.station_from_mm, stated.station_to_mm)
                latest[span] = (visit, stated, bevel)
    asked = _Asked(evidence[0].record, edge, face, asked_deg, practice)
    if not latest:
        yield asked.unmeasured()
    for visit, stated, bevel in latest.values():
        yield asked.judged(visit, stated, bevel)


def _is_proof(stated: BevelStatement, edge: Edge) -> bool:
    return stated.edge == edge and stated.basis == "measured" and stated.moment != "before"


@dataclass(frozen=True, slots=True)
class _Asked:
    """One bevel as a job asks for it."""

    job: str
    edge: Edge
    face: Face
    target_deg: float
    practice: Practice

    def tolerance(self) -> Tolerance:
        allowed = self.practice.bevel_tolerance_deg
        lower = self.target_deg - allowed
        # No bevel lies below zero, so a limit there would only blur the verdict.
        return Tolerance(lower if lower > 0 else None, self.target_deg + allowed)

    def unmeasured(self) -> BevelCheck:
        return BevelCheck(
            self.edge,
            self.face,
            None,
            None,
            self.target_deg,
            self.tolerance().lower,
            self.target_deg + self.practice.bevel_tolerance_deg,
            None,
            None,
            uncertainty_assumed=False,
            instrument=None,
            outcome="unmeasured",
            probability=None,
            guard_band_deg=None,
            deciding_uncertainty_deg=None,
            sentence=unmeasured_bevel(self.edge, self.face),
            rests_on=(self.job,),
        )

    def judged(self, visit: Visit, stated: BevelStatement, bevel_deg: float) -> BevelCheck:
        assumed = stated.uncertainty_deg is None
        expanded = stated.uncertainty_deg
        if expanded is None:
            expanded = self.practice.bevel_uncertainty_deg
        reading = Estimate(bevel_deg, standard_from_expanded(expanded))
        verdict = judge_conformity(reading, self.tolerance())
        deciding = _expanded(verdict)
        return BevelCheck(
            self.edge,
            self.face,
            stated.station_from_mm,
            stated.station_to_mm,
            self.target_deg,
            self.tolerance().lower,
            self.target_deg + self.practice.bevel_tolerance_deg,
            bevel_deg,
            expanded,
            uncertainty_assumed=assumed,
            instrument=stated.instrument,
            outcome=verdict.outcome,
            probability=verdict.probability,
            guard_band_deg=verdict.guard_band,
            deciding_uncertainty_deg=deciding,
            sentence=bevel_sentence(self.edge, self.face, reading, verdict.outcome, deciding),
            rests_on=in_turn((self.job, visit.record)),
        )


def _expanded(verdict: Conformity) -> float | None:
    deciding = verdict.deciding_uncertainty
    return None if deciding is None else USUAL_COVERAGE_FACTOR * deciding


def _flatness_checks(
    target: Target,
    evidence: Sequence[Visit],
    groove: CentreGroove | None,
    practice: Practice,
) -> Iterator[FlatnessCheck]:
    upper, job = target.flatness_tolerance_mm, evidence[0].record
    if upper is None:
        return
    taken = [one for one in latest_profiles(evidence) if one.item.moment != "before"]
    if not taken:
        yield _no_flatness(None, upper, NO_PROFILE, (job,))
    for one in taken:
        yield _flatness_check(upper, flatness_at(one, None, groove, practice), job)


def _flatness_check(upper_mm: float, now: FlatnessNow, job: str) -> FlatnessCheck:
    measured = now.straightness
    if measured is None:
        return _no_flatness(now.place, upper_mm, now.sentence, in_turn((job, now.record)))
    reading = Estimate(measured.value_mm, standard_from_expanded(measured.expanded_uncertainty_mm))
    verdict = judge_conformity(reading, Tolerance(upper=upper_mm))
    deciding = _expanded(verdict)
    return FlatnessCheck(
        now.place,
        upper_mm,
        measured,
        verdict.outcome,
        verdict.probability,
        verdict.guard_band,
        deciding,
        flatness_sentence(reading, upper_mm, verdict.outcome, deciding),
        in_turn((job,), measured.rests_on),
    )


def _no_flatness(
    place: Place | None, upper_mm: float, why: str, rests_on: tuple[str, ...]
) -> FlatnessCheck:
    return FlatnessCheck(place, upper_mm, None, "unmeasured", None, None, None, why, rests_on)
