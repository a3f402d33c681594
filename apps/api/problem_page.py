"""Writes docs/problems.md from the table of problems."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from apps.api.problem_types import PROBLEM_TYPES, PROBLEMS_PAGE, ProblemType

WIDTH = 100
OPENING = f"""\
Every refusal of the API is a problem document (RFC 9457) with the media type
`application/problem+json`. `type` is `{PROBLEMS_PAGE}#` and one of the words below: it never
changes its meaning, so a program may branch on it. `title` is the same for all problems of a type,
`detail` says what happened this time, `instance` is the path of the request, and `request_id` is
also in the header `X-Request-ID`.

`errors` lists everything that needs mending at once, of very many the first 200. Each has a `code`,
a `detail` that names the mend, and a place: `pointer` (RFC 6901) into the body, or `parameter` in
the address."""


def problems_markdown() -> str:
    """Give the page as Markdown, the same text every time."""
    paragraphs = ["# Problems", OPENING]
    for kind in PROBLEM_TYPES:
        paragraphs += _section(kind)
    return "\n\n".join(paragraphs) + "\n"


def _section(kind: ProblemType) -> Iterator[str]:
    yield f"## {kind.slug}"
    yield f"**{kind.status}** {kind.title}."
    yield _wrapped(kind.meaning)
    yield _wrapped(f"> {kind.example}", indent="> ")


def _wrapped(text: str, *, indent: str = "") -> str:
    lines = textwrap.wrap(
        text, WIDTH, break_on_hyphens=False, break_long_words=False, subsequent_indent=indent
    )
    return "\n".join(lines)
