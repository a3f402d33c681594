"""What each visit took off steel and base: as stated, and by practice where nothing is stated."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from apps.pages.numbers import Unit, between, length
from apps.pages.ski.material import name_of
from apps.registry.sight import Sight
from apps.tuning.history import Step
from apps.tuning.material import WANTED
from apps.tuning.series import TakenSince, taken_between
from apps.tuning.timeline import Timed, timed_steps


@dataclass(frozen=True, slots=True)
class TakenOff:
    """What a visit took of one thing.

    Parameters
    ----------
    name : str
        Of what, and of which edge.
    stated : str
        Sum of what its steps state; "" where they state nothing.
    by_practice : str
        Limits for steps that state nothing; "" where there are none.
    """

    name: str
    stated: str
    by_practice: str


def taken_off(sight: Sight, unit: Unit) -> Mapping[str, tuple[TakenOff, ...]]:
    """Say what each visit took off, by its record; those that took nothing are absent."""
    by_visit: defaultdict[str, list[Timed[Step]]] = defaultdict(list)
    for one in timed_steps(sight.visits):
        by_visit[one.visit.record].append(one)
    found = {record: tuple(_taken(steps, sight, unit)) for record, steps in by_visit.items()}
    return {record: taken for record, taken in found.items() if taken}


def _taken(steps: list[Timed[Step]], sight: Sight, unit: Unit) -> Iterator[TakenOff]:
    for key in WANTED:
        taken = taken_between(steps, key, sight.practice)
        if taken.steps:
            yield _shown(name_of(key.quantity, key.edge), taken, unit)


def _shown(name: str, taken: TakenSince, unit: Unit) -> TakenOff:
    stated = taken.steps > taken.unstated_steps
    return TakenOff(
        name,
        length(taken.stated_mm, unit, 3) if stated else "",
        between(taken.low_mm, taken.high_mm, unit, 3) if taken.unstated_steps else "",
    )
