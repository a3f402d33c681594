"""Times two ways of doing the same, turn by turn, so that noise falls on both alike."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from statistics import median
from time import perf_counter

from service_registry.benchmark.paths import Path


@dataclass(frozen=True, slots=True)
class Measured:
    """One path measured.

    Attributes
    ----------
    path : Path
        What was measured.
    records : int
        How many records or skis one run handles.
    ours_s, plain_s : float
        Median of the runs [s].
    """

    path: Path
    records: int
    ours_s: float
    plain_s: float

    @property
    def ratio(self) -> float:
        """How many times as long the plainer way takes."""
        return self.plain_s / self.ours_s

    @property
    def lines(self) -> tuple[str, str]:
        """Give the result as two lines for a person."""
        ours, plain = self.ours_s * 1000, self.plain_s * 1000
        rate = self.records / self.ours_s
        return (
            f"{self.path.name}: {self.records} in {ours:.1f} ms, {rate:,.0f} a second",
            f"  {self.ratio:.1f} times as fast as {self.path.plainly} ({plain:.1f} ms)",
        )


def measure(path: Path, *, runs: int) -> Measured:
    """Run both ways in turn and take the median of each."""
    ours: list[float] = []
    plain: list[float] = []
    records = 0
    for _ in range(runs):
        seconds, records = _timed(path.ours)
        ours.append(seconds)
        seconds, other = _timed(path.plain)
        plain.append(seconds)
        if other != records:
            raise AssertionError(f"{path.name}: {records} against {other}, so no comparison.")
    return Measured(path, records, median(ours), median(plain))


def _timed(work: Callable[[], int]) -> tuple[float, int]:
    begun = perf_counter()
    done = work()
    return perf_counter() - begun, done
