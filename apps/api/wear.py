"""The wear of one ski, put together for an answer: its own history beside the fleet's columns."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from datetime import date

from pydantic import Field

from apps.api.addresses import ROOT
from apps.api.answers.joined import JoinedAnswer
from apps.api.answers.wear import (
    EndingWord,
    LastDayAnswer,
    LineAnswer,
    PaceAnswer,
    ServicesToComeAnswer,
    SkiWearAnswer,
    WearAnswer,
    WearRateAnswer,
)
from apps.api.condition import today
from apps.api.fleet_outlook import DaysOut
from apps.api.joined import LinksQuery, joined_answer
from apps.records.place import SkiTag
from apps.registry.histories import read_fold
from apps.registry.joining import JoinedSki
from apps.registry.practices import practice_of
from apps.registry.ski_wear import Asked, fleet_rows, fleet_with, told_of
from apps.registry.visits import visits_of
from apps.tuning.figures import in_turn
from apps.tuning.material import WANTED, Unmeasured, material_of
from apps.tuning.outlook import Fleet
from apps.tuning.series import SeriesKey
from apps.tuning.straight_line import Line
from apps.tuning.timeline import timed_steps
from apps.tuning.wear import SeriesWear, WearSummary, service_visits, wear_summary
from apps.tuning.wear_pace import Pace, UseForecast
from apps.tuning.wear_ski import SkiWear
from apps.tuning.wear_statistics import WearStatistics


class WearQuery(LinksQuery):
    """What the shop expects of the use; without it nobody's days are guessed."""

    days_a_season: DaysOut | None = Field(
        default=None,
        description="Days out of the ski in a season to come, instead of what is on record, 0.1 to "
        "400.0.",
    )
    days_a_service: DaysOut | None = Field(
        default=None,
        description="Days out between two services to come, instead of what is on record, 0.1 to "
        "400.0.",
    )

    def forecast(self) -> UseForecast:
        """Give it to the arithmetic."""
        return UseForecast(self.days_a_season, days_a_service=self.days_a_service)


def wear_answer(ski: JoinedSki, query: WearQuery, *, asking: str) -> SkiWearAnswer:
    """Give the answer about the wear of a ski: three queries, whatever its history and fleet."""
    visits = visits_of(read_fold(ski.tags).effective)
    fleet, practice = fleet_rows(asking, ski.tags), practice_of(asking)
    asked = Asked(visits, fleet, practice, today(), query.forecast())
    return answered(SkiTag(shop=ski.tag.shop, tag=ski.tag.tag), asked, joined_answer(ski))


def answered(ski: SkiTag, asked: Asked, joined: JoinedAnswer) -> SkiWearAnswer:
    """Put an answer together, without a query."""
    summary = wear_summary(asked.visits, asked.practice)
    unmeasured = material_of(asked.visits, practice=asked.practice).unknown
    return SkiWearAnswer(
        ski=ski,
        joined=joined,
        as_of=asked.on,
        in_fleet=any(rows.own is not None for rows in asked.fleet.values()),
        wear=[_wear(key, summary, unmeasured, asked) for key in WANTED],
        fleet_rates=f"{ROOT}/fleet/rates",
    )


def _wear(
    key: SeriesKey, summary: WearSummary, unmeasured: Iterable[Unmeasured], asked: Asked
) -> WearAnswer:
    statistics = summary.statistics(key.quantity, key.edge)
    fleet, place = fleet_with(key, statistics, asked)
    told = told_of(fleet, place, asked)
    scarcest = summary.scarcest(key.quantity, key.edge)
    shown = key if scarcest is None else scarcest.key
    return WearAnswer.model_validate(
        {
            "quantity": key.quantity,
            "edge": key.edge,
            "least_mm": fleet.least_mm,
            **_level(scarcest),
            "rate": _rate(told, statistics, summary.teacher(key.quantity, key.edge), fleet),
            "services_left": _services_left(told, statistics),
            "exhausted_on": _last_day(told, statistics, fleet.pace),
            "pace": _pace(fleet.pace, place, _used(shown, summary, asked)),
            "confidence": told.confidence,
            "method": told.method,
            "sentence": told.sentence,
            "measure": list(_measure(key, statistics, fleet.pace, unmeasured)),
            "rests_on": _rests_on(key, summary, asked),
        }
    )


def _level(scarcest: SeriesWear | None) -> dict[str, object]:
    if scarcest is None:
        return {}
    return {
        "level_mm": scarcest.level_mm,
        "level_at": scarcest.key.place,
        "services_since": scarcest.services_since,
    }


def _rate(
    told: SkiWear, statistics: WearStatistics, teacher: SeriesWear | None, fleet: Fleet
) -> WearRateAnswer:
    limits, line = told.rate_mm, None if teacher is None else teacher.line
    return WearRateAnswer.model_validate(
        {
            "value_mm": limits.value,
            "low_mm": limits.low,
            "high_mm": limits.high,
            "own_mm": told.own_rate_mm,
            "own_weight": told.weight,
            "place": None if teacher is None else teacher.key.place,
            "readings": told.readings,
            "services": statistics.services,
            "line": None if line is None else _line(line),
            "basis": fleet.rates.fleet.basis,
        }
    )


def _line(line: Line) -> LineAnswer:
    members = {"rate_mm": -line.slope, "standard_uncertainty_mm": line.slope_uncertainty}
    return LineAnswer.model_validate(members)


def _services_left(told: SkiWear, statistics: WearStatistics) -> ServicesToComeAnswer:
    left = told.services_left
    return ServicesToComeAnswer(
        outcome=_ending(left.value, known=statistics.level_um is not None),
        value=_whole(left.value),
        low=_whole(left.low),
        high=_whole(left.high),
    )


def _last_day(told: SkiWear, statistics: WearStatistics, pace: Pace) -> LastDayAnswer:
    last = told.exhausted_on
    known = statistics.level_um is not None and pace.basis != "unknown"
    outcome = _ending(last.value, known=known)
    return LastDayAnswer(outcome=outcome, value=last.value, low=last.low, high=last.high)


def _ending(value: float | date | None, *, known: bool) -> EndingWord:
    if not known:
        return "unknown"
    return "no-end-in-sight" if value is None else "known"


def _whole(services: float | None) -> int | None:
    return None if services is None else math.floor(services)


def _pace(pace: Pace, place: int, rests_on: tuple[str, ...]) -> PaceAnswer:
    services = float(pace.services[place])
    return PaceAnswer.model_validate(
        {
            "services_a_season": services if math.isfinite(services) else None,
            "basis": pace.basis,
            "sentence": pace.sentence,
            "rests_on": rests_on,
        }
    )


def _measure(
    key: SeriesKey, statistics: WearStatistics, pace: Pace, unmeasured: Iterable[Unmeasured]
) -> Iterator[str]:
    for one in unmeasured:
        if (one.quantity, one.edge) == (key.quantity, key.edge):
            yield one.sentence
    if statistics.level_um is not None and not statistics.intervals:
        yield (
            f"No service lies between two readings of the {key.words} at one place. Measure it "
            "again at the same place after the next service, and its own rate begins to count."
        )
    if pace.basis == "unknown":
        yield pace.sentence


def _rests_on(key: SeriesKey, summary: WearSummary, asked: Asked) -> tuple[str, ...]:
    """Records of the readings, and of the services that are counted between and after them."""
    asked_of = (summary.scarcest(key.quantity, key.edge), summary.teacher(key.quantity, key.edge))
    read = [one for one in asked_of if one is not None]
    return in_turn(*(one.rests_on for one in read), *(_served(one.key, asked) for one in read))


def _used(key: SeriesKey, summary: WearSummary, asked: Asked) -> tuple[str, ...]:
    """Records of the use, and of the services that part it."""
    used = summary.use[key].rests_on
    return in_turn(used, _served(key, asked)) if used else ()


def _served(key: SeriesKey, asked: Asked) -> tuple[str, ...]:
    served = service_visits(timed_steps(asked.visits), key, asked.practice)
    return tuple(asked.visits[number].record for number in served)
