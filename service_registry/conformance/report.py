"""The results for people, and as JSON for programs."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Sequence

from service_registry.conformance.checks import CheckResult, Outcome
from service_registry.conformance.running import has_passed

MARKS = {"holds": "ok     ", "fails": "FAILS  ", "not-run": "not run"}


def line(result: CheckResult) -> str:
    """Write one result on a line, and why on the next."""
    check = result.check
    said = f"{MARKS[result.outcome]} {check.subject}/{check.name}: {check.sentence}"
    return f"{said}\n        {result.detail}" if result.detail else said


def summary(url: str, results: Sequence[CheckResult]) -> str:
    """Say in a sentence how it came out."""
    counts = Counter(result.outcome for result in results)
    parts = ", ".join(f"{counts[outcome]} {words}" for outcome, words in _WORDS if counts[outcome])
    verdict = "conforms" if has_passed(results) else "does NOT conform"
    return f"{url} {verdict}: {parts}."


_WORDS: tuple[tuple[Outcome, str], ...] = (
    ("holds", "checks hold"),
    ("fails", "fail"),
    ("not-run", "were not run"),
)


def as_json(url: str, results: Sequence[CheckResult]) -> str:
    """Write all results as one JSON document."""
    document = {
        "url": url,
        "conforms": has_passed(results),
        "counts": dict(Counter(result.outcome for result in results)),
        "checks": list(_members(results)),
    }
    return json.dumps(document, indent=2, ensure_ascii=False)


def _members(results: Sequence[CheckResult]) -> Iterator[dict[str, str]]:
    for result in results:
        check = result.check
        detail = {"detail": result.detail} if result.detail else {}
        yield {
            "name": check.name,
            "subject": check.subject,
            "sentence": check.sentence,
            "outcome": result.outcome,
            **detail,
        }
