"""The fleet's part of the story: what is due, what the next seasons bring, and a pair apart."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from service_registry.demo.asking import Counter
from service_registry.demo.loading import LoadedShop
from service_registry.demo.telling import curl, points, said, titled

Answer = Mapping[str, Any]

MONTHS = 84
LESS_GRINDING = "0.5"
SHOWN = 2


def fleet_story(counter: Counter, hire: LoadedShop, ski: str, midwinter: date) -> Iterator[str]:
    """Tell what the manager of the rental fleet asks.

    Parameters
    ----------
    counter : Counter
        Where it is asked.
    hire : LoadedShop
        The rental fleet.
    ski : str
        Address of the ski the story is about.
    midwinter : date
        The day for which the bench is planned.

    Yields
    ------
    str
        Lines, wrapped, except for the curl lines.
    """
    yield from titled(f"7 The fleet's manager plans the bench for {midwinter}. What is due then?")
    yield from _due(counter, hire, midwinter)
    yield from titled(
        "What does a service take off the edge height, and how many skis will be worn out?"
    )
    yield from _outlook(counter, hire)
    yield from titled("Have the two skis of the pair drifted apart?")
    yield from _pair(counter, hire, ski)


def _due(counter: Counter, hire: LoadedShop, midwinter: date) -> Iterator[str]:
    asked = counter.get(hire, f"/fleet/due?as_of={midwinter}&limit=500")
    items = asked.document["items"]
    yield from points([f"{len(items)} skis are due, the most urgent first:"])
    yield from points(f"{one['tag']}: {_reasons(one)}" for one in items[:SHOWN])
    yield from curl(asked)


def _reasons(ski: Answer) -> str:
    return " ".join(reason["sentence"] for reason in ski["reasons"])


def _outlook(counter: Counter, hire: LoadedShop) -> Iterator[str]:
    path = f"/fleet/outlook?months={MONTHS}"
    as_now = counter.get(hire, path).document
    asked = counter.get(hire, f"{path}&services_factor={LESS_GRINDING}")
    less = asked.document
    rate = as_now["rate"]
    yield from points(
        [f"{rate['mean_mm']} mm ({rate['low_mm']} to {rate['high_mm']}). {rate['sentence']}"]
    )
    yield from said(
        f"Of {as_now['skis']} skis with readings, {_below(as_now)} are below "
        f"{as_now['least_mm']} mm by {as_now['months'][-1]['month']}; with half as many services, "
        f"{_below(less)}. {as_now['unknown']} more have no reading, so nobody can say."
    )
    yield from curl(asked)


def _below(outlook: Answer) -> str:
    below = outlook["months"][-1]["below"]
    return f"{below['expected']} ({below['low']} to {below['high']})"


def _pair(counter: Counter, hire: LoadedShop, ski: str) -> Iterator[str]:
    asked = counter.get(hire, f"{ski}/pair")
    pair = asked.document
    doubtful = [one for one in pair["differences"] if one["outcome"] != "together"]
    told = [one["sentence"] for one in doubtful if "difference" in one]
    yield from points([f"{pair['outcome']}.", *told])
    yield from curl(asked)
