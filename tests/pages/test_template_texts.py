"""No template says anything to a person outside the tags that translate it."""

from __future__ import annotations

from collections.abc import Iterator
from html.parser import HTMLParser

import pytest
from django.template.base import Lexer, Token, TokenType

from service_registry.commands.translations import PAGES

TEMPLATES = PAGES / "templates"
SAID = frozenset({"alt", "aria-label", "aria-description", "placeholder", "title"})
NO_LANGUAGE = frozenset({"code", "kbd", "samp", "script", "style"})
HIDING = {"blocktranslate": "endblocktranslate", "blocktrans": "endblocktrans"}
HIDING |= {"comment": "endcomment"}
# Names and measures that are the same in every language.
SAME_EVERYWHERE = frozenset(
    {"A4", "API", "CSV", "ISO", "PostgreSQL", "QR", "SHA-256", "SQLite", "µm", "mm", "°C"}
)


def test_no_text_of_a_template_escapes_translation() -> None:
    found = [
        f"{path.relative_to(TEMPLATES)}: {text}"
        for path in sorted(TEMPLATES.rglob("*.html"))
        for text in untranslated(path.read_text(encoding="utf-8"))
    ]
    assert found == []


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ("<p>Left {{ edge }}</p>", ["Left"]),
        ('<p title="Left">{% translate "Left" %}</p>', ["Left"]),
        ("{% blocktranslate %}Left{% endblocktranslate %} right", ["right"]),
        ("<p>{# a remark #}{% comment %}x{% endcomment %} 5 mm</p>", []),
        ("<code>service-registry fsck</code><p>{{ one }}: {{ two }}</p>", []),
        ('<a class="left" href="/left">{{ tag }}</a>', []),
    ],
)
def test_what_counts_as_text(source: str, found: list[str]) -> None:
    assert list(untranslated(source)) == found


def untranslated(source: str) -> Iterator[str]:
    """Give the texts of a template that no tag translates."""
    reader = _Texts()
    reader.feed(" ".join(_plain(Lexer(source).tokenize())))
    reader.close()
    for text in reader.found:
        words = [word for word in text.split() if word.strip(".,;:()/") not in SAME_EVERYWHERE]
        if any(letter.isalpha() for word in words for letter in word):
            yield text


def _plain(tokens: list[Token]) -> Iterator[str]:
    until = ""
    for token in tokens:
        name = token.contents.split()[0] if token.contents.split() else ""
        if token.token_type is TokenType.BLOCK and name in HIDING and not until:
            until = HIDING[name]
        elif token.token_type is TokenType.BLOCK and name == until:
            until = ""
        elif token.token_type is TokenType.TEXT and not until:
            yield token.contents


class _Texts(HTMLParser):
    """Collects what a person would read or hear."""

    def __init__(self) -> None:
        super().__init__()
        self.found: list[str] = []
        self.inside: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in NO_LANGUAGE:
            self.inside.append(tag)
        self.found += [value.strip() for name, value in attrs if name in SAID and value]

    def handle_endtag(self, tag: str) -> None:
        if self.inside and self.inside[-1] == tag:
            self.inside.pop()

    def handle_data(self, data: str) -> None:
        if data.strip() and not self.inside:
            self.found.append(data.strip())
