"""Runs the checks, one after the other, and keeps how each came out."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from service_registry.conformance import (
    capabilities,
    errors,
    idempotence,
    paging,
    proofs,
    races,
    vectors,
)
from service_registry.conformance.checks import Check, CheckResult, Failed, NotRun
from service_registry.conformance.node import Node

SUBJECTS = tuple(
    part.SUBJECT for part in (capabilities, vectors, idempotence, races, paging, proofs, errors)
)
CHECKS: tuple[Check, ...] = tuple(check for subject in SUBJECTS for check in subject.checks)


def run_checks(
    node: Node,
    checks: Iterable[Check] = CHECKS,
    *,
    told: Callable[[CheckResult], None] = lambda _: None,
) -> Sequence[CheckResult]:
    """Run checks; one that fails keeps none of the others from running.

    Parameters
    ----------
    node : Node
    checks : iterable of Check
    told : callable
        Hears of each result as it comes.
    """
    results = []
    for check in checks:
        results.append(_run(check, node))
        told(results[-1])
    return results


def _run(check: Check, node: Node) -> CheckResult:
    try:
        check.run(node)
    except Failed as failed:
        return CheckResult(check, "fails", str(failed))
    except NotRun as reason:
        return CheckResult(check, "not-run", str(reason))
    except (AttributeError, LookupError, TypeError, ValueError) as error:
        # An answer of another shape than any that a check looks for.
        return CheckResult(check, "fails", f"An answer has another shape: {error!r}.")
    return CheckResult(check, "holds")


def has_passed(results: Iterable[CheckResult]) -> bool:
    """Say whether no check failed."""
    return all(result.outcome != "fails" for result in results)
