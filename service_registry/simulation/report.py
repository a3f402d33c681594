"""The figures of the trials as lines for a person."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from service_registry.simulation.trials import HIGHEST, LOWEST, Figures

HEAD = (
    f"{'share of 90 % intervals that hold the truth':<44}"
    f"{'rate':>7}{'services':>10}{'whole':>7}{'date':>7}{'outlook':>9}{'error':>8}{'plain':>7}"
)
UM_A_MM = 1000.0


def lines(tried: Iterable[Figures]) -> Iterator[str]:
    """Give a head, a line for each scenario, and what is to be thought of those that stray."""
    yield HEAD
    for figures in tried:
        yield _line(figures)
        if figures.scenario.strays:
            yield f"  not expected to hold: {figures.scenario.strays}"
        elif not figures.holds:
            yield f"  FAILS: outside of {LOWEST:.0%} to {HIGHEST:.0%}"
        if not figures.surer:
            yield "  FAILS: no nearer to the truth than the plain average"


def as_promised(figures: Figures) -> bool:
    """Whether a scenario keeps what the model promises of it."""
    return figures.surer and (figures.holds or bool(figures.scenario.strays))


def _line(figures: Figures) -> str:
    name = f"{figures.scenario.name} ({figures.cases} skis)"
    return (
        f"{name:<44}{figures.rate:>7.1%}{figures.services:>10.1%}{figures.whole_services:>7.1%}"
        f"{figures.exhaustion:>7.1%}{figures.outlook:>9.1%}"
        f"{figures.error_mm * UM_A_MM:>5.1f} um{figures.plain_error_mm * UM_A_MM:>4.1f} um"
    )
