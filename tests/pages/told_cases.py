"""What the arithmetic tells, read from its source, so that a new case can't be missed."""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import get_args

from apps import tuning
from apps.tuning.ground_plane import Governor
from apps.tuning.pairs_difference import PairUnit, Togetherness

TELLERS: Mapping[str, frozenset[str]] = {"told": frozenset(), "plan_warning": frozenset({"edge"})}
"""What writes a sentence down, and the figures that it adds of itself."""
NAMED = frozenset({"case", "code"})
TABLES = frozenset({"_MEND", "_WAX"})
PLACE = {"edge", "station", "position_mm"}
SPLATS: Mapping[str, set[str]] = {
    "key.figures": {"material", *PLACE},
    "subject.figures": {"pair_quantity", "unit", *PLACE},
    "budget.figures": {"material", "edge"},
    "figures": {"material", "edge", "left_mm", "low_mm", "high_mm", "least_mm"},
}
"""What is handed on whole, by how it is written."""
GOVERNORS = [one for one in get_args(Governor) if one != "nothing"]
TOGETHER = get_args(Togetherness)
MADE: Mapping[str, list[str]] = {
    "plane-{plane.governed_by}-perhaps": [f"plane-{one}-perhaps" for one in GOVERNORS],
    "plane-{plane.governed_by}": [f"plane-{one}" for one in GOVERNORS],
    "pair-unknown-{subject.unit}": [f"pair-unknown-{one}" for one in get_args(PairUnit)],
    # Two that are the same differ by nothing, which no tolerance calls apart; what is exact is
    # never undecided.
    "{case}{exactly}-{outcome}": [
        *(f"pair-greater-{one}" for one in TOGETHER),
        *(f"pair-same-{one}" for one in TOGETHER if one != "apart"),
        "pair-greater-exactly-together",
        "pair-greater-exactly-apart",
        "pair-same-exactly-together",
    ],
}
"""Cases that are put together, by how they are written."""


def told_cases() -> dict[str, list[set[str]]]:
    """Give every case that some module tells, with the figures of each place that tells it."""
    found: dict[str, list[set[str]]] = defaultdict(list)
    for tree in _trees():
        for function, call in _calls(tree):
            for case in _cases_of(call.args[0], function, tree):
                found[case].append(_figures(call))
    return found


def _trees() -> Iterator[ast.Module]:
    (folder,) = tuning.__path__
    for path in sorted(Path(folder).glob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        if any(_name(call.func) in TELLERS for _, call in _calls(tree)):
            yield tree


def _calls(tree: ast.Module) -> Iterator[tuple[ast.FunctionDef, ast.Call]]:
    for function in ast.walk(tree):
        if isinstance(function, ast.FunctionDef) and function.name not in TELLERS:
            for node in ast.walk(function):
                if isinstance(node, ast.Call) and _name(node.func) in TELLERS:
                    yield function, node


def _cases_of(node: ast.expr, function: ast.FunctionDef, tree: ast.Module) -> set[str]:
    if isinstance(node, ast.Constant):
        return {str(node.value)}
    if isinstance(node, ast.JoinedStr):
        return set(MADE[_written(node)])
    if _name(node) == "operation":
        return set(_table_keys(tree, function))
    # A function that is handed its case gets it from another one of the same module.
    assert _name(node) in NAMED, ast.unparse(node)
    return set(_assigned(function)) or set(_assigned(tree))


def _table_keys(tree: ast.Module, function: ast.FunctionDef) -> Iterator[str]:
    used = {_name(node) for node in ast.walk(function) if isinstance(node, ast.Name)} & TABLES
    for node in ast.walk(tree):
        if isinstance(node, ast.Assign) and _name(node.targets[0]) in used:
            yield from ast.literal_eval(node.value)


def _assigned(scope: ast.AST) -> Iterator[str]:
    for node in ast.walk(scope):
        if isinstance(node, ast.Assign):
            names = [_name(one) for one in _flat(node.targets[0])]
            for at in (names.index(name) for name in NAMED & set(names)):
                yield from _constants(node.value, at)
        elif isinstance(node, ast.AnnAssign) and _name(node.target) in NAMED and node.value:
            yield from _constants(node.value, 0)


def _constants(value: ast.expr, at: int) -> Iterable[str]:
    if isinstance(value, ast.IfExp):
        return [*_constants(value.body, at), *_constants(value.orelse, at)]
    if isinstance(value, ast.Tuple):
        return _constants(value.elts[at], 0)
    if isinstance(value, ast.JoinedStr):
        return MADE[_written(value)]
    return [str(value.value)] if isinstance(value, ast.Constant) and value.value else []


def _figures(call: ast.Call) -> set[str]:
    found = set(TELLERS[_name(call.func)])
    for keyword in call.keywords:
        named = keyword.arg is not None
        found |= {str(keyword.arg)} if named else SPLATS[ast.unparse(keyword.value)]
    return found


def _flat(target: ast.expr) -> list[ast.expr]:
    return target.elts if isinstance(target, ast.Tuple) else [target]


def _written(node: ast.JoinedStr) -> str:
    return ast.unparse(node)[2:-1]


def _name(node: ast.expr) -> str:
    return node.id if isinstance(node, ast.Name) else ""
