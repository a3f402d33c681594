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
from apps.api.joined import joined_answer
from apps.api.plan_request import PlanRequest, refused_by_arithmetic
from apps.api.shapes import shape_of
from apps.records.place import SkiTag
from apps.registry.joining import JoinedSki
from apps.registry.sight import Sight, sight_of
from apps.tuning.errors import TuningError
from apps.tuning.plan import plan_tune
from apps.tuning.plan_from_condition import bench_state

A = TypeVar("A", bound=AnswerModel)


@dataclass(frozen=True, slots=True)
class Seen:
    """A ski as a shop sees it, and which tags were joined for it."""

    sight: Sight
    joined: JoinedAnswer

    @property
    def ski(self) -> SkiTag:
        """The tag that was asked for."""
        tag = self.sight.ski.tag
        return SkiTag(shop=tag.shop, tag=tag.tag)


def today() -> date:
    """The day it is now by the node's calendar, as the door judges dates."""
    return timezone.localdate()


def see(joined: JoinedSki, *, asking: str, as_of: date | None = None) -> Seen:
    """Read a ski for a shop, as of a day or as of now: a fixed number of queries."""
    return Seen(sight_of(joined, asking=asking, as_of=as_of), joined_answer(joined))


def condition_answer(seen: Seen) -> ConditionAnswer:
    """Give the answer about the condition of a ski."""
    shape = shape_of(seen.sight.effective, seen.sight.known)
    return _answer(ConditionAnswer, seen, seen.sight.condition, shape=shape)


def plan_answer(seen: Seen, request: PlanRequest) -> PlanAnswer:
    """Give the answer to the plan of a tune.

    Raises
    ------
    Problem
        For what the arithmetic refuses, with the field it names.
    """
    sight = seen.sight
    groove = sight.condition.centre_groove
    before = bench_state(sight.condition, groove.width_mm if groove else None)
    try:
        plan = plan_tune(before, request.asked(), sight.practice, sight.learned)
    except TuningError as error:
        raise refused_by_arithmetic(error) from error
    return _answer(PlanAnswer, seen, plan)


def _answer(model: type[A], seen: Seen, result: Any, **more: object) -> A:
    computed = {field.name: getattr(result, field.name) for field in fields(result)}
    as_of = seen.sight.condition.as_of
    about = {"ski": seen.ski, "joined": seen.joined}
    return model.model_validate({"as_of": as_of, **computed, **about, **more})
