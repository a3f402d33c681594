"""The three invented shops of an invented valley. Any likeness to a real one is chance."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

VALLEY = "Veskerdal"


@dataclass(frozen=True, slots=True)
class DemoShop:
    """One shop of the scenario.

    Parameters
    ----------
    code : str
        Its part of the handle.
    label : str
        Trading label.
    trade : str
        What it does, as sentences speak of it.
    technicians : tuple of str
        Aliases of those who work at its bench.
    practice : mapping
        What it sets otherwise than the default.
    """

    code: str
    label: str
    trade: str
    technicians: tuple[str, ...]
    practice: Mapping[str, Any] = field(default_factory=dict, hash=False)


HIRE = DemoShop("veskerdal-hire", "Veskerdal Hire", "rental fleet", ("vh1", "vh2", "vh3"))
BENCH = DemoShop(
    "brindle-bench",
    "Brindle Bench",
    "workshop",
    ("bb1", "bb2"),
    {"flatness_tolerance_mm": "0.080"},
)
DEALER = DemoShop("pinmarrow-skis", "Pinmarrow Skis", "used-ski dealer", ("ps1",))
SHOPS = (HIRE, BENCH, DEALER)
# It is on the second node, over the pass.
NEIGHBOUR = DemoShop("kelderby-bench", "Kelderby Bench", "workshop over the pass", ("kb1",))
