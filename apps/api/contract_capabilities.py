"""The operation that says what a node can do."""

from __future__ import annotations

from apps.api.answers.capabilities import CapabilitiesAnswer
from apps.api.capabilities import example
from apps.api.openapi_texts import ABOUT
from apps.api.operations import Answer, Operation

READ = Operation(
    id="read_capabilities",
    tag=ABOUT,
    summary="What this node can do",
    description="Formats, kinds, limits, policies, and the key and name of its log. Made from the "
    "code that keeps to it. Needs no key.",
    answer=Answer("The capabilities.", CapabilitiesAnswer, example),
    scope=None,
)
