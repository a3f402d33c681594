"""Three winters of a pair of rental skis, from the shelf to the end of the last season."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from numpy.random import Generator

from service_registry.demo.chronicle import Chronicle
from service_registry.demo.gauges import HIRE_GAUGES, Gauges
from service_registry.demo.models import SkiModel
from service_registry.demo.seasons import Season
from service_registry.demo.shops import HIRE
from service_registry.demo.truth import TrueSki
from service_registry.demo.visits import Visit

# How many days of a month's openings a ski of hardness 1 is out.
MONTHS = ((12, 31, 11), (1, 31, 17), (2, 28, 18), (3, 31, 14), (4, 15, 5))
SERVICED_MONTHS = (12, 1, 2, 3)
BASE_BEVEL_DEG, SIDE_BEVEL_DEG = 1.0, 2.0


@dataclass(slots=True)
class RentalSki:
    """One rental ski: what it is, and what the fleet writes about it.

    Parameters
    ----------
    book : Chronicle
    true : TrueSki
    model : SkiModel
    hardness : float
        How hard it is used; 1 is the fleet's mean.
    measured : bool
        Whether the bench ever takes a reading on it.
    states_removal : bool
        Whether the bench writes down what its grinds take off.
    """

    book: Chronicle
    true: TrueSki
    model: SkiModel
    hardness: float
    measured: bool
    states_removal: bool = False

    @property
    def rng(self) -> Generator:
        """The chance that rules this ski."""
        return self.true.rng

    def visit(self) -> Visit:
        """Put it on the fleet's bench."""
        return Visit(self.true, self._gauges, str(self.rng.choice(HIRE.technicians)))

    @property
    def _gauges(self) -> Gauges | None:
        return HIRE_GAUGES if self.measured else None

    def live(self, seasons: Sequence[Season], partner_tag: str) -> None:
        """Live through some winters."""
        first = seasons[0].day(11, 5)
        self.book.write("description", first, self.model.described())
        other = {"shop": HIRE.code, "tag": partner_tag}
        self.book.write("pair", first, {"other_ski": other})
        for season in seasons:
            self._winter(season)

    def _winter(self, season: Season) -> None:
        self._autumn(season)
        self.book.write("status", season.day(12, 1), {"status": "in_service"})
        for month, last, days in MONTHS:
            self._month(season, month, last, days)
        self._put_away(season)

    def _autumn(self, season: Season) -> None:
        job = self.visit()
        job.did("clean")
        job.read("before")
        job.grind(3, stated=self.states_removal)
        job.set_bevels(BASE_BEVEL_DEG, SIDE_BEVEL_DEG, passes=5)
        job.wax()
        job.inspect_binding("short_rental")
        job.read("after")
        self.book.write("job", season.day(11, int(self.rng.integers(10, 28))), job.body())

    def _month(self, season: Season, month: int, last: int, days: int) -> None:
        out = min(last - 1, max(1, round(days * self.hardness * self.rng.uniform(0.85, 1.15))))
        self.true.use(out, hardness=self.hardness)
        if month in SERVICED_MONTHS:
            self._service(season, month)
        self.book.write("usage", season.day(month, last), {"days": out})

    def _service(self, season: Season, month: int) -> None:
        day = season.day(month, int(self.rng.integers(12, 27)))
        deep = max(self.true.damage, default=0.0) >= 1.0
        if deep or self.true.hollow_mm > 0.05:
            self._regrind(day)
        else:
            self._touch_up(day)

    def _regrind(self, day: date) -> None:
        job = self.visit()
        if self.true.hollow_mm > 0.05:
            job.found("railed", "moderate", "repaired", where={"surface": "base"})
        job.fill_damage()
        job.grind(2, stated=self.states_removal)
        job.set_bevels(BASE_BEVEL_DEG, SIDE_BEVEL_DEG, passes=4)
        job.wax()
        self.book.write("job", day, job.body())

    def _touch_up(self, day: date) -> None:
        job = self.visit()
        if self.rng.random() < 0.4:
            job.found("hardened_spot", "slight", "repaired", where={"edge": "right"})
            job.did("remove_hardened_spot", edge="right", tool_text="diamond stone")
        job.fill_damage()
        job.set_bevels(None, SIDE_BEVEL_DEG, passes=2)
        job.wax()
        self.book.write("job", day, job.body())

    def _put_away(self, season: Season) -> None:
        job = self.visit()
        job.did("clean")
        job.did("wax", wax_class="base_prep", iron_temperature_c=115)
        self.book.write("job", season.day(4, int(self.rng.integers(18, 25))), job.body())
