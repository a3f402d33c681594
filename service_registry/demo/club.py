"""Skis of the workshop's racing club and of the dealer: finely measured, and hardly at all."""

from __future__ import annotations

from collections.abc import Sequence

from numpy.random import Generator

from service_registry.demo.chronicle import Chronicle
from service_registry.demo.gauges import BENCH_GAUGES
from service_registry.demo.models import SkiModel
from service_registry.demo.seasons import Season
from service_registry.demo.shops import BENCH, DEALER
from service_registry.demo.truth import TrueSki
from service_registry.demo.visits import Visit

RACE_MONTHS = ((12, 10), (1, 14), (2, 15), (3, 9))
RACE_DAYS = 7
RACE_HARDNESS = 0.5
TEST_DAYS = 12


def live_as_race_ski(
    book: Chronicle, true: TrueSki, model: SkiModel, seasons: Sequence[Season], partner_tag: str
) -> None:
    """Live some winters as a club's slalom ski: little ground, often sharpened, always measured."""
    first = seasons[0].day(10, 20)
    book.write("description", first, model.described())
    book.write("pair", first, {"other_ski": {"shop": BENCH.code, "tag": partner_tag}})
    specified = {"edge": "both", "base_bevel_deg": "0.50", "side_bevel_deg": "3.00"}
    book.write("bevel-setting", first, specified | {"basis": "specified"})
    for season in seasons:
        _race_winter(book, true, season)


def _race_winter(book: Chronicle, true: TrueSki, season: Season) -> None:
    job = _bench_visit(true, true.rng)
    job.target = {"base_bevel_deg": "0.50", "side_bevel_deg": "3.00"}
    job.read("before", widths=True, base=True)
    job.lay_bar("before")
    job.grind(2, stated=True)
    job.did("structure", tool_text="stone, linear pattern", edge_height_removed_mm="0.006")
    true.grind(1, 0.006)
    job.set_bevels(0.5, 3.0, passes=6)
    job.did("prepare_base")
    job.wax("cold", 135)
    job.read("after", widths=True, base=True)
    job.lay_bar("after")
    book.write("job", season.day(10, 24), job.body())
    for month, day in RACE_MONTHS:
        true.use(RACE_DAYS, hardness=RACE_HARDNESS)
        sharpening = _bench_visit(true, true.rng)
        sharpening.fill_damage()
        sharpening.set_bevels(None, 3.0, passes=2)
        sharpening.did("polish_edge", edge="both", tool_text="ceramic stone")
        sharpening.wax("cool", 130)
        book.write("job", season.day(month, day), sharpening.body())
        book.write("usage", season.day(month, 28), {"days": RACE_DAYS})


def live_as_test_ski(
    book: Chronicle, true: TrueSki, model: SkiModel, seasons: Sequence[Season], *, measured: bool
) -> None:
    """Live some winters as the dealer's test ski, which the workshop services."""
    described = {**model.described(), "serial_text": f"OF-{true.rng.integers(10_000, 99_999)}"}
    book.write("description", seasons[0].day(10, 1), described)
    found = [
        {"what": "oxidised_base", "severity": "moderate", "state": "open"},
        {"what": "rust", "severity": "slight", "state": "open"},
    ]
    intake = book.write("job", seasons[0].day(10, 2), {"findings": found})
    for season in seasons:
        job = _bench_visit(true, true.rng) if measured else Visit(true, None, BENCH.technicians[0])
        if season is seasons[0]:
            job.did("remove_rust")
            job.freshen(intake)
        job.grind(2, stated=measured)
        job.set_bevels(0.7, 2.0, passes=5)
        job.wax()
        job.read("after", base=True)
        book.write("job", season.day(11, 8), job.body(), by=BENCH)
        true.use(TEST_DAYS, hardness=0.6)
        true.damage.clear()
        book.write("usage", season.day(3, 30), {"days": TEST_DAYS})
    book.write("status", seasons[-1].day(4, 20), {"status": "in_service"}, by=DEALER)


def _bench_visit(true: TrueSki, rng: Generator) -> Visit:
    return Visit(true, BENCH_GAUGES, str(rng.choice(BENCH.technicians)))
