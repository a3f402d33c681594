"""A ski's condition and plans for it, put together for an answer; the arithmetic is `tuning`'s."""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date
from typing import Any, TypeVar

from django.utils import timezone

from apps.api.answers.base import AnswerModel
from apps.api.answers.condition import ConditionAnswer
from apps.api.answers.joined import JoinedAnswer
from apps.api.answers.plan import PlanAnswer
from apps.api.descriptions import Described, described
from apps.api.joined import joined_answer
from apps.api.plan_request import PlanRequest, refused_by_arithmetic
from apps.api.shapes import shape_of
from apps.records.folding import Folded
from apps.records.place import SkiTag
from apps.registry.histories import read_fold
from apps.registry.joining import JoinedSki
from apps.registry.own_rates import own_rates
from apps.registry.practices import practice_of
from apps.registry.visits import visits_of
from apps.tuning import condition as state
from apps.tuning.errors import TuningError
from apps.tuning.plan import plan_tune
from apps.tuning.plan_from_condition import bench_state
from apps.tuning.practice import Practice
from apps.tuning.rates import LearnedRate

A = TypeVar("A", bound=AnswerModel)


@dataclass(frozen=True, slots=True)
class Seen:
    """A ski as a shop sees it.

    Parameters
    ----------
    ski : SkiTag
        The tag that was asked for.
    practice : Practice
        That of the shop that asks, since it is its bench that will do the work.
    learned : tuple of LearnedRate
        What the same shop's own readings say about what its operations take.
    effective : tuple of Folded
        Records in effect, up to the day asked for.
    known : Described
        What the descriptions among them say.
    condition : Condition
        The folded state.
    joined : JoinedAnswer
        Which tags were joined for it.
    """

    ski: SkiTag
    practice: Practice
    learned: tuple[LearnedRate, ...]
    effective: tuple[Folded, ...]
    known: Described
    condition: state.Condition
    joined: JoinedAnswer


def today() -> date:
    """The day it is now by the node's calendar, as the door judges dates."""
    return timezone.localdate()


def see(joined: JoinedSki, *, asking: str, as_of: date | None = None) -> Seen:
    """Read a ski for a shop, as of a day or as of now: a fixed number of queries."""
    effective = tuple(
        one
        for one in read_fold(joined.tags).effective
        if as_of is None or one.content.performed_at.day <= as_of
    )
    practice, learned = practice_of(asking), own_rates(asking)
    folded = state.fold(
        visits_of(effective), practice=practice, today=today(), as_of=as_of, learned=learned
    )
    ski, known = SkiTag(shop=joined.tag.shop, tag=joined.tag.tag), described(effective)
    return Seen(ski, practice, learned, effective, known, folded, joined_answer(joined))


def condition_answer(seen: Seen) -> ConditionAnswer:
    """Give the answer about the condition of a ski."""
    shape = shape_of(seen.effective, seen.known)
    return _answer(ConditionAnswer, seen, seen.condition, shape=shape)


def plan_answer(seen: Seen, request: PlanRequest) -> PlanAnswer:
    """Give the answer to the plan of a tune.

    Raises
    ------
    Problem
        For what the arithmetic refuses, with the field it names.
    """
    groove = seen.condition.centre_groove
    before = bench_state(seen.condition, groove.width_mm if groove else None)
    try:
        plan = plan_tune(before, request.asked(), seen.practice, seen.learned)
    except TuningError as error:
        raise refused_by_arithmetic(error) from error
    return _answer(PlanAnswer, seen, plan)


def _answer(model: type[A], seen: Seen, result: Any, **more: object) -> A:
    computed = {field.name: getattr(result, field.name) for field in fields(result)}
    as_of = seen.condition.as_of
    about = {"ski": seen.ski, "joined": seen.joined}
    return model.model_validate({"as_of": as_of, **computed, **about, **more})
