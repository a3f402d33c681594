"""The benchmark compares like with like, on a database of its own; no time is tested."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from service_registry.benchmark.measuring import Measured, measure
from service_registry.benchmark.paths import Path as Measuring

ROOT = Path(__file__).resolve().parents[2]


def test_it_measures_every_path_and_leaves_the_ordinary_database_alone(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "service_registry", "benchmark", "--runs", "1", "--fleet", "400"],
        env={"PATH": os.defpath, "DATA_DIR": str(tmp_path)},
        cwd=ROOT,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    assert len(re.findall(r"^  [\d.]+ times as fast as ", done.stdout, re.MULTILINE)) == 9
    assert [path.name for path in tmp_path.iterdir()] == ["benchmark"]


def test_two_ways_that_do_not_do_the_same_are_not_compared() -> None:
    unequal = Measuring("ours", "plain", lambda: 2, lambda: 1)
    with pytest.raises(AssertionError, match="no comparison"):
        measure(unequal, runs=1)


def test_the_ratio_says_how_much_longer_the_plainer_way_takes() -> None:
    path = Measuring("ours", "plain", lambda: 8, lambda: 8)
    measured = Measured(path, records=8, ours_s=0.5, plain_s=2.0)
    assert measured.ratio == 4.0
    assert measured.lines == (
        "ours: 8 in 500.0 ms, 16 a second",
        "  4.0 times as fast as plain (2000.0 ms)",
    )


def test_both_ways_are_run_in_turn() -> None:
    runs: list[str] = []

    def run(way: str) -> int:
        runs.append(way)
        return 1

    path = Measuring("ours", "plain", lambda: run("ours"), lambda: run("plain"))
    assert measure(path, runs=3).records == 1
    assert runs == ["ours", "plain"] * 3
