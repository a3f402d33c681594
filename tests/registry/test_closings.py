"""Which findings a job may close, and what a correction may make of a finding that is closed."""

from __future__ import annotations

from typing import Any

import pytest

from apps.records.envelope import Draft
from apps.registry.actors import Actor
from apps.registry.errors import RegistryError, WrongState
from apps.registry.histories import read_fold
from apps.registry.visits import visits_of
from apps.tuning.condition import open_findings
from tests.registry.foreign import Author
from tests.registry.making import DAY, a_draft, a_submission, pulled, write
from tests.registry.test_amendments import retraction
from tests.registry.test_door import refusal

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("ski")]

GOUGE = {"what": "gouge", "severity": "moderate", "state": "open"}
SCRATCH = {"what": "scratch", "severity": "slight", "state": "open"}
CRACK = {"what": "edge_cracked", "severity": "severe", "state": "open"}


def job(*findings: dict[str, Any]) -> Draft:
    return a_draft("job", body={"findings": list(findings)})


def correction(target: str, *findings: dict[str, Any]) -> Draft:
    replacement = {"kind": "job", "performed_at": DAY, "body": {"findings": list(findings)}}
    body = {"reason": "typing_error", "replacement": replacement}
    return a_draft("correction", refers_to=[target], body=body)


def closing(record: str, index: int, what: str = "scratch") -> dict[str, Any]:
    return {
        "what": what,
        "severity": "slight",
        "state": "repaired",
        "closes": {"record": record, "index": index},
    }


def written(by: Actor, draft: Draft) -> str:
    (appended,) = write(by, draft)
    return appended.record_id


def refused(by: Actor, *drafts: Draft) -> RegistryError:
    return refusal(by, *(a_submission(draft) for draft in drafts))


def still_open(ski: str) -> list[str]:
    return [one.finding.what for one in open_findings(visits_of(read_fold([ski]).effective))]


@pytest.fixture
def found(shop: Actor) -> str:
    """A job that left a gouge and a scratch open."""
    return written(shop, job(GOUGE, SCRATCH))


def test_a_finding_that_a_correction_added_can_be_closed(shop: Actor, ski: str, found: str) -> None:
    assert "has 2 findings" in refused(shop, job(closing(found, 2))).sentence
    written(shop, correction(found, GOUGE, SCRATCH, CRACK))
    written(shop, job(closing(found, 2, "edge_cracked")))
    assert still_open(ski) == ["gouge", "scratch"]


def test_one_that_a_correction_took_away_can_not(shop: Actor, found: str) -> None:
    written(shop, correction(found, GOUGE))
    error = refused(shop, job(closing(found, 1)))
    assert "has 1 findings" in error.sentence
    assert error.pointer == "/body/findings/0/closes/index"


def test_and_again_once_that_correction_is_taken_back(shop: Actor, ski: str, found: str) -> None:
    shortened = written(shop, correction(found, GOUGE))
    written(shop, retraction(shortened))
    written(shop, job(closing(found, 1)))
    assert still_open(ski) == ["gouge"]


def test_what_the_same_call_corrects_counts(shop: Actor, ski: str, found: str) -> None:
    write(shop, correction(found, GOUGE, SCRATCH, CRACK), job(closing(found, 2)))
    assert still_open(ski) == ["gouge", "scratch"]


def test_findings_go_by_the_job_and_not_by_its_correction(shop: Actor, found: str) -> None:
    corrected = written(shop, correction(found, GOUGE, SCRATCH))
    assert "has 0 findings" in refused(shop, job(closing(corrected, 0))).sentence


def test_a_finding_of_a_job_that_was_taken_back_is_not_closed(shop: Actor, found: str) -> None:
    written(shop, retraction(found))
    error = refused(shop, job(closing(found, 0)))
    assert isinstance(error, WrongState)
    assert "was taken back" in error.sentence
    assert error.pointer == "/body/findings/0/closes"


def test_but_what_a_record_closed_before_it_may_go_on_closing(shop: Actor, found: str) -> None:
    closer = written(shop, job(closing(found, 0)))
    written(shop, retraction(found))
    written(shop, correction(closer, closing(found, 0), CRACK))
    error = refused(shop, correction(closer, closing(found, 0), closing(found, 1)))
    assert error.pointer == "/body/replacement/body/findings/1/closes"


def test_from_another_node_it_passes(east: Author) -> None:
    """Closing and retraction may have been on their way at once, or the job is not here yet."""
    pulled(east.signed("description"))
    (found,) = pulled(east.signed("job"))
    pulled(east.signed("retraction", refers_to=[found.record_id]))
    for closed in (found.record_id, "0" * 64):
        (late,) = pulled(east.signed("job", body={"findings": [closing(closed, 0)]}))
        assert late.is_new


@pytest.mark.parametrize(
    "findings",
    [
        (SCRATCH, {**GOUGE, "severity": "severe"}),
        (GOUGE,),
        (GOUGE, {**SCRATCH, "where": {"edge": "left"}}),
    ],
)
def test_a_closed_finding_keeps_its_number_word_and_place(
    shop: Actor, ski: str, found: str, findings: tuple[dict[str, Any], ...]
) -> None:
    closer = written(shop, job(closing(found, 1)))
    error = refused(shop, correction(found, *findings))
    assert isinstance(error, WrongState)
    assert error.pointer == "/body/replacement/body/findings"
    assert "Finding 1" in error.sentence
    assert closer in error.sentence
    assert still_open(ski) == ["gouge"]


def test_how_bad_it_is_may_be_corrected_and_others_added(shop: Actor, ski: str, found: str) -> None:
    written(shop, job(closing(found, 1)))
    written(shop, correction(found, CRACK, {**SCRATCH, "severity": "severe"}, GOUGE))
    assert still_open(ski) == ["edge_cracked", "gouge"]


def test_a_correction_that_a_closing_rests_on_is_not_taken_back(shop: Actor, found: str) -> None:
    longer = written(shop, correction(found, GOUGE, SCRATCH, CRACK))
    closer = written(shop, job(closing(found, 2)))
    error = refused(shop, retraction(longer))
    assert (error.pointer, error.code) == ("/refers_to/0", "wrong-state")
    written(shop, correction(closer, CRACK))
    written(shop, retraction(longer))


def test_a_job_may_be_taken_back_whatever_closes_it(shop: Actor, ski: str, found: str) -> None:
    written(shop, job(closing(found, 1)))
    written(shop, retraction(found))
    assert still_open(ski) == []


def test_what_the_same_call_closes_stays_too(shop: Actor, found: str) -> None:
    error = refused(shop, job(closing(found, 1)), correction(found, GOUGE))
    assert (error.submission, error.code) == (1, "wrong-state")


def test_a_correction_from_another_node_passes(east: Author) -> None:
    pulled(east.signed("description"))
    (found,) = pulled(east.signed("job", body={"findings": [GOUGE, SCRATCH]}))
    pulled(east.signed("job", body={"findings": [closing(found.record_id, 1)]}))
    replacement = {"kind": "job", "performed_at": DAY, "body": {"findings": [GOUGE]}}
    body = {"reason": "wrong_value", "replacement": replacement}
    (late,) = pulled(east.signed("correction", refers_to=[found.record_id], body=body))
    assert late.is_new
