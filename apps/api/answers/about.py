"""What the node says of itself."""

from __future__ import annotations

from pydantic import Field

from apps.api.answers.base import AnswerModel


class RootLinks(AnswerModel):
    """Addresses of what a client needs first."""

    contract: str = Field(description="This API as an OpenAPI 3.1 document.")
    capabilities: str = Field(description="Formats, kinds, limits and the key of the log.")
    docs: str = Field(description="The same for people.")
    problems: str = Field(description="Every problem an answer can name.")
    skis: str = Field(description="Skis by shop and tag.")


class RootAnswer(AnswerModel):
    """The node and its API."""

    name: str = Field(description="What this is.")
    version: str = Field(description="Version of the API.")
    node_host: str = Field(description="Name of the node; it stands in every handle of its shops.")
    links: RootLinks = Field(description="Where to find what.")
