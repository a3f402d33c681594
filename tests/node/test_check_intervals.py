"""The wear model on fleets whose truth is known: its intervals hold what they promise.

Own data: every fleet is simulated by a fixed seed, so a failure is a change of the model or of the
fleets, never of luck.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from apps.tuning.history import Place, Reading, Visit, in_order
from apps.tuning.practice import Practice
from apps.tuning.wear import wear_summary
from service_registry.__main__ import main
from service_registry.simulation.fleets import Past, read_statistics, simulate
from service_registry.simulation.report import as_promised, lines
from service_registry.simulation.scenarios import SCENARIOS, Scenario
from service_registry.simulation.trials import Figures, try_scenario
from tests.tuning.visits import grind, visit

SEED = 20
HOLDING = [one for one in SCENARIOS if not one.strays]
STRAYING = {one.name: one for one in SCENARIOS if one.strays}


@pytest.mark.parametrize("scenario", HOLDING, ids=lambda one: one.name)
def test_ninety_percent_intervals_hold_the_truth(scenario: Scenario) -> None:
    found = try_scenario(scenario, SEED, 1000)
    assert found.cases >= 1000
    for share in (found.rate, found.services, found.exhaustion):
        assert 0.85 <= share <= 0.95
    # Whole services are rounded down at both ends, and a count of skis outwards: at least as sure.
    assert found.whole_services >= 0.85
    assert found.outlook >= 0.75
    assert found.error_mm < found.plain_error_mm


def test_where_it_is_said_to_fail_it_does() -> None:
    new_stone = try_scenario(STRAYING["a new stone that takes half as much again"], SEED)
    assert new_stone.services < 0.7
    alike = try_scenario(STRAYING["no difference between skis"], SEED)
    assert alike.rate > 0.95
    four = try_scenario(STRAYING["fleets of four skis, few readings"], SEED, 400)
    assert four.exhaustion > 0.95
    misread = try_scenario(STRAYING["a gauge three times worse than stated"], SEED)
    assert misread.services > 0.95


def test_the_same_seed_gives_the_same_figures() -> None:
    assert try_scenario(HOLDING[0], 5, 80) == try_scenario(HOLDING[0], 5, 80)
    assert try_scenario(HOLDING[0], 5, 80) != try_scenario(HOLDING[0], 6, 80)


def test_the_simulation_keeps_what_the_registry_would() -> None:
    """The sums over all skis at once are those of each ski's visits."""
    read = np.array([[1.80, 1.741, 1.702, np.nan], [1.5, 1.47, np.nan, np.nan]])
    services = np.array([[0, 2, 3, 5], [0, 1, 2, 3]])
    past = Past(read, services, np.array([3, 2]))
    kept = read_statistics(past, 0.01)
    for ski in range(2):
        summary = wear_summary(in_order(_visits(read[ski], services[ski])), Practice())
        expected = summary.statistics("edge_height")
        for name, values in kept.items():
            assert values[ski] == getattr(expected, name), name


def _visits(read: NDArray[np.float64], services: NDArray[np.int64]) -> list[Visit]:
    """The visits of one ski that give those levels, a grind a day."""
    visits = [visit(0, readings=(_height(read[0]),))]
    for earlier, later, level in zip(services, services[1:], read[1:], strict=False):
        if np.isnan(level):
            break
        visits += [visit(int(day), steps=(grind(),)) for day in range(earlier + 1, later)]
        visits.append(visit(int(later), steps=(grind(),), readings=(_height(level),)))
    return visits


def _height(level_mm: float) -> Reading:
    return Reading("edge_height", float(level_mm), Place(edge="left"), 0.02)


def test_a_simulated_fleet_is_true_to_itself() -> None:
    scenario = replace(HOLDING[0], skis=300)
    fleet = simulate(scenario, np.random.default_rng(1))
    assert fleet.columns.count == 300
    assert np.all(fleet.services_left >= 0.0)
    assert np.all(fleet.seasons_left >= 0.0)
    gone = fleet.services_left == 0.0
    assert np.all(fleet.seasons_left[gone] == 0.0)
    assert np.corrcoef(fleet.services_left, fleet.seasons_left)[0, 1] > 0.8


def test_anyone_can_run_it(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check-intervals", "--cases", "1000", "--seed", "20"]) == 0
    printed = capsys.readouterr().out
    for scenario in SCENARIOS:
        assert scenario.name in printed
    assert printed.count("not expected to hold") == len(STRAYING)
    assert "FAILS" not in printed
    with pytest.raises(SystemExit):
        main(["check-intervals", "--cases", "0"])
    with pytest.raises(SystemExit):
        main(["check-intervals", "--cases", "many"])


def test_a_broken_promise_is_printed_as_one() -> None:
    found = Figures(HOLDING[0], 1000, 0.7, 0.9, 0.92, 0.9, 0.9, 0.008, 0.006)
    printed = list(lines([found]))
    assert "FAILS: outside of 85% to 95%" in printed[2]
    assert "no nearer to the truth" in printed[3]
    assert not as_promised(found)
    assert not as_promised(replace(found, rate=0.9))
    assert as_promised(replace(found, rate=0.9, error_mm=0.005))
