"""What a node can do, by which limits and policies, for programs to read before they begin."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from apps.api.answers.base import AnswerModel


class RecordCapabilities(AnswerModel):
    """Which records are read and written here."""

    formats: list[int] = Field(
        description="Formats of a record that this node reads; later ones it keeps and relays."
    )
    kinds: list[str] = Field(description="Kinds of record that it knows.")
    canonical_form: Literal["RFC 8785"] = Field(description="The bytes that are hashed and signed.")
    id: Literal["SHA-256"] = Field(description="The hash of those bytes that is a record's id.")
    signature: Literal["Ed25519"] = Field(description="How they are signed.")


class LogCapabilities(AnswerModel):
    """The log of this node."""

    origin: str = Field(description="Name of the log; the first line of its checkpoints.")
    node_key: str | None = Field(
        default=None,
        description="The key that signs its checkpoints, as a verifier key (C2SP signed-note); "
        "absent before the node has one. Compare it with what its operator says by another way.",
    )
    tree: Literal["RFC 6962"] = Field(description="How the root over the ids is reckoned.")
    checkpoint: str = Field(description="Address of the signed checkpoint.")
    records: str = Field(description="Address of the feed.")


class Limits(AnswerModel):
    """What is refused beyond; numbers are the largest that pass."""

    record_bytes: int = Field(description="Canonical bytes of a record.")
    record_depth: int = Field(description="Lists and objects inside of each other.")
    request_bytes: int = Field(description="Bytes of a body with one record.")
    bulk_request_bytes: int = Field(description="Bytes of a body with several records.")
    import_line_bytes: int = Field(description="Bytes of a line of an import.")
    page_items: int = Field(description="Items on a page.")
    tags_of_one_ski: int = Field(description="Tags that are joined as one ski.")
    live_api_keys: int = Field(description="API keys of a shop that live at once.")
    live_own_signing_keys: int = Field(description="Keys a shop signs with itself, at once.")
    webhooks: int = Field(description="Webhooks of a shop.")
    webhook_tries: int = Field(description="Tries that a message gets before a pause.")
    share_link_days: int = Field(description="Days that a share link works at most.")


class Rates(AnswerModel):
    """How often may be asked, as number/period."""

    read: str = Field(description="Reads by one API key.")
    write: str = Field(description="Writes by one API key.")
    compute: str = Field(description="Computed answers asked for by one API key.")
    unknown: str = Field(description="Requests without a key from one address.")


class Policies(AnswerModel):
    """How the node behaves where a standard leaves it open."""

    unknown_fields: Literal["refused"] = Field(
        description="Fields and parameters that a format does not know."
    )
    later_formats: Literal["kept-and-relayed"] = Field(
        description="Records of a format that is not read yet."
    )
    author: Literal["own-name-only"] = Field(description="Under which name a key may write.")
    reading: Literal["by-exact-tag"] = Field(
        description="Whose skis a shop may read: those whose exact tag it holds."
    )
    look_ups: Literal["noted"] = Field(description="What a look at another shop's tag leaves.")
    links: Literal["mutual"] = Field(
        description="Which statements join tags where a request does not say."
    )
    erasure: Literal["bytes-go-place-stays"] = Field(
        description="What erasing a record leaves in the log."
    )
    time_zone: str = Field(description="Calendar by which a day has come or not.")


class CapabilitiesAnswer(AnswerModel):
    """What this node can do."""

    name: str = Field(description="What this is.")
    node_host: str = Field(description="Name of the node; it stands in every handle of its shops.")
    api: str = Field(description="Address of the API.")
    api_version: str = Field(description="Version of the API.")
    contract: str = Field(description="Address of the contract (OpenAPI 3.1).")
    records: RecordCapabilities = Field(description="Formats and kinds.")
    log: LogCapabilities = Field(description="The log, and the key that signs for it.")
    limits: Limits = Field(description="What is refused beyond.")
    rates: Rates = Field(description="How often may be asked.")
    policies: Policies = Field(description="How it behaves.")
