"""What is sent to correct, take back or dispute a record; the address says which one."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, ClassVar

from django.conf import settings
from pydantic import ConfigDict, Field

from apps.api.drafts import now_text, object_of, only_own_name
from apps.records.amendment import CorrectionBodyDraft, DisputeBody, RetractionBody
from apps.records.envelope import Draft
from apps.records.errors import FieldError, InvalidRecord
from apps.records.examples import example_draft
from apps.records.model import RecordModel
from apps.records.moments import PerformedAt
from apps.records.primitives import ShopHandle
from apps.records.reading import read_draft
from apps.registry.actors import Actor
from apps.registry.errors import WrongState
from apps.registry.models import Record

FROM_ADDRESS = ("ski", "refers_to")


def _example(kind: str) -> dict[str, Any]:
    return {"body": example_draft(kind)["body"]}


class AmendmentRequest(RecordModel):
    """Base of what a shop sends about a record."""

    is_draft: ClassVar[bool] = True

    author: ShopHandle | None = Field(
        default=None, description="The shop that writes; the one of the key, also when left out."
    )
    performed_at: PerformedAt | None = Field(
        default=None, description="When it was noticed; now when left out."
    )


class CorrectionRequest(AmendmentRequest):
    """What stands in place of the record, and why."""

    model_config = ConfigDict(json_schema_extra={"examples": [_example("correction")]})

    body: CorrectionBodyDraft = Field(description="Reason and replacement.")


class RetractionRequest(AmendmentRequest):
    """Why the record is taken back."""

    model_config = ConfigDict(json_schema_extra={"examples": [_example("retraction")]})

    body: RetractionBody = Field(description="The reason.")


class DisputeRequest(AmendmentRequest):
    """Why a shop doubts the record."""

    model_config = ConfigDict(json_schema_extra={"examples": [_example("dispute")]})

    body: DisputeBody = Field(description="The reason.")


REQUESTS: Mapping[str, type[AmendmentRequest]] = MappingProxyType(
    {
        "correction": CorrectionRequest,
        "retraction": RetractionRequest,
        "dispute": DisputeRequest,
    }
)


def read_amendment(kind: str, document: object, target: Record, *, by: Actor) -> Draft:
    """Read what is sent about a record.

    Raises
    ------
    InvalidRecord
        With all that is wrong at once.
    NotAllowed
        If it names another author.
    WrongState
        If the record is about no ski.
    """
    given = object_of(document)
    if target.subject_id is None:
        raise WrongState("That record is about no ski and stands as it is.")
    faults = [_from_address(name) for name in FROM_ADDRESS if name in given]
    if faults:
        raise InvalidRecord(*faults)
    shop, _, tag = target.subject_id.partition("/")
    whole = {
        "performed_at": now_text(),
        **given,
        "ski": {"shop": shop, "tag": tag},
        "refers_to": [target.id],
    }
    draft = read_draft(kind, whole, node_host=settings.NODE_HOST)
    only_own_name(draft, by)
    return draft


def _from_address(name: str) -> FieldError:
    return FieldError(f"/{name}", "unknown-field", "The address says this already; leave it out.")
