"""Puts what the API answers into plain sentences; it works out no number of its own."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

Answer = Mapping[str, Any]

EDGES = ("left", "right")

WORDS = {
    "edge_height": "edge height",
    "edge_width": "edge width",
    "base_thickness": "base",
    "not_feasible": "not feasible",
}


def interval(length: Answer) -> str:
    """Say a length with its limits."""
    return f"{length['value_mm']} mm ({length['low_mm']} to {length['high_mm']})"


def material_name(of: Answer) -> str:
    """Say which material, and of which edge."""
    name = WORDS[of["quantity"]]
    return f"{of['edge']} {name}" if "edge" in of else name


def together(said: Iterable[tuple[str, str]]) -> Iterator[str]:
    """Join what is said of the left and of the right in the same words.

    Parameters
    ----------
    said : iterable of (str, str)
        Of what, beginning with the edge if it has one; and what.
    """
    subjects: dict[tuple[str, str], list[str]] = {}
    for subject, text in said:
        edge, _, rest = subject.partition(" ")
        name = rest if edge in EDGES else subject
        subjects.setdefault((name, text), []).append(edge if edge in EDGES else "")
    for (name, text), edges in subjects.items():
        yield f"{' and '.join(edges)} {name}".strip() + text


def bevels(condition: Answer) -> Iterator[str]:
    """Say each bevel of each edge, with its standing."""
    return together(
        (f"{edge['edge']} {face} bevel", f" - {whole['standing']}: {whole['sentence']}")
        for face in ("base", "side")
        for edge in condition["bevels"]
        for whole in edge[face][:1]
    )


def steel_left(condition: Answer) -> Iterator[str]:
    """Say what is left of each material, how sure that is, and what it is good for."""
    for one in condition["material"]["known"]:
        where = f" at the {one['station']}" if "station" in one else ""
        yield (
            f"{material_name(one)}{where}: {interval(one['left'])} left, from "
            f"{len(one['readings'])} readings; the least is {one['least_mm']} mm"
        )


def instruments(condition: Answer) -> list[str]:
    """Name the gauges behind the readings."""
    readings = [reading for one in condition["material"]["known"] for reading in one["readings"]]
    return sorted({reading.get("instrument", "a gauge nobody named") for reading in readings})


def services_left(condition: Answer) -> Iterator[str]:
    """Say for how many services each reserve is good."""
    for one in condition["material"]["known"]:
        left, rate = one["services"], one["services"]["rate"]
        yield (
            f"{material_name(one)}: {left.get('services', 'any number of')} services, "
            f"{left['low']} at the worst and {left.get('high', 'any number')} at the best, at "
            f"{rate['usual_mm']} mm ({rate['low_mm']} to {rate['high_mm']}) each by {rate['basis']}"
        )


def unknown(condition: Answer) -> str:
    """Say what nobody measured."""
    names = [material_name(one) for one in condition["material"]["unknown"]]
    return f"Not known, because nobody measured it: {listed(names)}." if names else ""


def open_findings(condition: Answer) -> Iterator[str]:
    """Say what is still to be mended."""
    for one in condition["open_findings"]:
        finding = one["finding"]
        depth = f", {finding['depth_mm']} mm deep" if "depth_mm" in finding else ""
        station = finding["place"].get("station")
        where = f" at the {station}" if station else ""
        yield f"a {finding['what']}{where}, {finding['severity']}{depth}, found {one['day']}"


def doubts(condition: Answer) -> Iterator[str]:
    """Say where the history contradicts itself."""
    for one in condition["warnings"]:
        yield f"{one['code']} ({one['sureness']}): {one['sentence']}"


def contradictions(condition: Answer) -> str:
    """Say where the history contradicts itself, or that it doesn't."""
    return " ".join(doubts(condition)) or "nothing in it contradicts itself."


def verdict(plan: Answer) -> str:
    """Say whether a plan can be carried out, and what to measure first."""
    outcome = plan["verdict"]["outcome"]
    measures = [one["sentence"] for one in plan["verdict"]["measure_first"]]
    return " ".join([f"{WORDS.get(outcome, outcome)}.", *measures])


def taken(plan: Answer) -> Iterator[str]:
    """Say what a plan takes off, and what share of a service that is."""
    costs = {material_name(one["budget"]): one["usual"] for one in plan["services"]}
    return together(
        (name, _off(amount, costs.get(name))) for name, amount in _amounts(plan["spent"])
    )


def _off(amount: Answer, cost: str | None) -> str:
    limits = f"{amount['usual_mm']} mm ({amount['low_mm']} to {amount['high_mm']})"
    return f": {limits} off" + (f", {cost} of the usual service" if cost else "")


def _amounts(spent: Answer) -> Iterator[tuple[str, Answer]]:
    for quantity in ("edge_height", "edge_width"):
        for edge, amount in spent[f"{quantity}_mm"].items():
            yield f"{edge} {WORDS[quantity]}", amount
    yield WORDS["base_thickness"], spent["base_mm"]


def left_after(plan: Answer) -> str:
    """Say which edge height a plan leaves."""
    parts = [
        f"{edge} {left['value']} mm ({left['low']} to {left['high']})"
        for edge in EDGES
        if (left := plan["after"][edge].get("edge_height_mm"))
    ]
    return f"Edge height after it: {listed(parts)}." if parts else ""


def cheaper(option: Answer) -> str:
    """Say what a cheaper way does, saves and gives up."""
    saved = together(
        (material_name(saving["budget"]), f" {saving['usual_mm']} mm") for saving in option["saves"]
    )
    gives_up = " ".join(option["gives_up"]) or "It gives nothing up."
    outcome = WORDS.get(option["verdict"]["outcome"], option["verdict"]["outcome"])
    saves = f"It leaves on: {listed(list(saved))}."
    return f"{option['code']} ({outcome}): {option['sentence']} {saves} {gives_up}"


def listed(parts: Sequence[str]) -> str:
    """Join parts as a sentence does."""
    if len(parts) < 2:
        return "".join(parts)
    return f"{', '.join(parts[:-1])} and {parts[-1]}"
