"""What a client sends about a webhook."""

from __future__ import annotations

from typing import Any, ClassVar

from pydantic import ConfigDict, Field, StrictBool, StrictInt, StrictStr

from apps.records.model import RecordModel

EXAMPLE: dict[str, Any] = {"url": "https://hooks.fellbench.example/registry"}
REPLAY_EXAMPLE: dict[str, Any] = {"from": 120}


class NewWebhook(RecordModel):
    """Where messages are to go."""

    model_config = ConfigDict(json_schema_extra={"examples": [EXAMPLE]})

    is_draft: ClassVar[bool] = True

    url: StrictStr = Field(
        description="Address of the receiver: https, a name or address of the public network, no "
        "credentials, port 443 or one from 1024 on."
    )


class WebhookResume(RecordModel):
    """How to go on after a pause."""

    model_config = ConfigDict(json_schema_extra={"examples": [{"skip": True}]})

    is_draft: ClassVar[bool] = True

    skip: StrictBool = Field(
        default=False, description="True: pass over what the log grew by during the pause."
    )


class WebhookReplay(RecordModel):
    """From where to tell everything again."""

    model_config = ConfigDict(json_schema_extra={"examples": [REPLAY_EXAMPLE]})

    is_draft: ClassVar[bool] = True

    begin: StrictInt = Field(
        alias="from", ge=0, description="Log position; what was told from here on is told again."
    )
