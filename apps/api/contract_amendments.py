"""The operations on single records: read by id, correct, retract; and jobs together."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from apps.api import bulk
from apps.api import problem_types as types
from apps.api.amendments import REQUESTS
from apps.api.answers.records import (
    ANSWERS,
    JobsAnswer,
    RecordAnswer,
    example_answer,
)
from apps.api.contract_kinds import LOCATION
from apps.api.openapi_texts import JOBS, RECORDS
from apps.api.operations import WRITING, Answer, Operation
from apps.records.examples import OTHER_SKI, example_draft
from apps.registry.actors import Scope

READ = Operation(
    id="read_record",
    tag=RECORDS,
    summary="Read a record of any kind",
    description="An own record, one on an own ski, or one on a ski whose tag was looked up.",
    answer=Answer("The record.", RecordAnswer, example_answer("job")),
    problems=(types.UNKNOWN_RECORD, types.ERASED),
)


def _amending(kind: str, summary: str, description: str) -> Operation:
    return Operation(
        id=f"write_{kind}",
        tag=RECORDS,
        summary=summary,
        description=description,
        answer=Answer("The record.", ANSWERS[kind], example_answer(kind), headers=LOCATION),
        status=201,
        scope=Scope.WRITE,
        cost="write",
        request=REQUESTS[kind],
        request_examples={"usual": {"body": example_draft(kind)["body"]}},
        problems=(*WRITING, types.UNKNOWN_RECORD),
        idempotent=True,
    )


AMENDING: Mapping[str, Operation] = MappingProxyType(
    {
        "correction": _amending(
            "correction",
            "Correct an own record",
            "Nothing is edited: the correction is a record with the whole replacement inside. Of "
            "several corrections the one entered last counts. A correction is not corrected; "
            "correct the original once more.",
        ),
        "retraction": _amending(
            "retraction",
            "Take an own record back",
            "Nothing is hidden: the record stays readable, marked as retracted, and counts no "
            "more. A correction, a link or a dispute can be taken back too; a retraction can't.",
        ),
        "dispute": _amending(
            "dispute",
            "Dispute a record",
            "Any shop that can read a record may say that it doubts it, and why. Nothing else is "
            "changed by it: the record stands, and the history of the ski shows both. The shop "
            "that wrote the dispute can take it back.",
        ),
    }
)

_TOGETHER = {**example_answer("job")}
_OTHER = {**example_answer("job"), "log_index": 42}
_OTHER["record"] = {**_OTHER["record"], "ski": OTHER_SKI}

TOGETHER = Operation(
    id="write_jobs",
    tag=JOBS,
    summary="Write several jobs together",
    description="Two to sixteen jobs, such as those of both skis of a pair: all are written or "
    "none. `errors` names the job by its place, `/jobs/1/body/...`.",
    answer=Answer(
        "The jobs, in the order sent.",
        JobsAnswer,
        {"items": [_TOGETHER, _OTHER]},
        headers={"Location": "Address of the first job."},
    ),
    status=201,
    scope=Scope.WRITE,
    cost="write",
    request=bulk.JobsRequest,
    request_examples={"usual": bulk.EXAMPLE},
    problems=WRITING,
    idempotent=True,
)
