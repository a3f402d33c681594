"""Several jobs in one call, such as those of both skis of a pair: all of them or none."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from pydantic import ConfigDict, Field

from apps.api.drafts import object_of, read_own_draft
from apps.records.envelope import Draft, JobDraft
from apps.records.errors import FieldError, InvalidRecord
from apps.records.examples import OTHER_SKI, example_draft
from apps.records.model import RecordModel
from apps.registry.actors import Actor
from apps.registry.errors import NotAllowed, RegistryError, raise_all

LEAST, MOST = 2, 16
COUNT = f"Send {LEAST} to {MOST} jobs in one call; a single one goes to /api/v1/jobs."
EXAMPLE: dict[str, Any] = {
    "jobs": [example_draft("job"), {**example_draft("job"), "ski": OTHER_SKI}]
}


class JobsRequest(RecordModel):
    """Jobs that are written together."""

    model_config = ConfigDict(json_schema_extra={"examples": [EXAMPLE]})

    jobs: list[JobDraft] = Field(
        min_length=LEAST, max_length=MOST, description="Two to sixteen jobs."
    )


def read_jobs(document: object, *, by: Actor) -> list[Draft]:
    """Read the jobs of a call.

    Raises
    ------
    InvalidRecord
        With all that is wrong with all of them at once.
    RegistryError
        `NotAllowed`, or `Refused` for several, if jobs name another author.
    """
    given = object_of(document)
    faults = [*_unknown(given), *_miscounted(given.get("jobs"))]
    drafts: list[Draft] = []
    refused: list[RegistryError] = []
    jobs = given.get("jobs")
    for number, job in enumerate(jobs if isinstance(jobs, list) else ()):
        try:
            drafts.append(read_own_draft("job", job, by=by))
        except InvalidRecord as error:
            faults += _under(f"/jobs/{number}", error.errors)
        except NotAllowed as error:
            error.submission = number
            refused.append(error)
    if faults:
        raise InvalidRecord(*faults)
    raise_all(refused)
    return drafts


def _unknown(given: dict[str, Any]) -> Iterator[FieldError]:
    for name in given:
        if name != "jobs":
            sentence = "This call takes the field `jobs` only; leave this one out."
            yield FieldError(f"/{name}", "unknown-field", sentence)


def _miscounted(jobs: object) -> Iterator[FieldError]:
    if not isinstance(jobs, list) or not LEAST <= len(jobs) <= MOST:
        yield FieldError("/jobs", "wrong-count", COUNT)


def _under(place: str, errors: Sequence[FieldError]) -> list[FieldError]:
    return [FieldError(f"{place}{error.pointer}", error.code, error.message) for error in errors]
