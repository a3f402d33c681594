"""What the README and the docs promise holds: the request, the commands, the links."""

from __future__ import annotations

import json
import re
import shlex
import subprocess
from pathlib import Path
from typing import Any

import pytest
from django.conf import settings
from django.test import Client

from apps.records.envelope import DescriptionDraft
from apps.records.reading import read_draft
from apps.registry.actions import add_shop, issue_api_key, register_ski
from apps.registry.actors import BENCH_SCOPES, OPERATOR, shop_actor
from service_registry.__main__ import main

ROOT = Path(__file__).resolve().parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
PAGES = sorted([*ROOT.glob("*.md"), *(ROOT / "docs").rglob("*.md")])
# These are random or given by the clock, the rest of the answer is not.
CHANCE = {"id", "log_index", "received_at", "signature", "key", "salt"}


def block(mark: str) -> str:
    """Give the fenced block after a mark."""
    found = re.search(rf"<!-- {mark} -->\n```[a-z]*\n(.*?)```", README, re.DOTALL)
    assert found, f"The README has no block {mark}."
    return found[1]


@pytest.fixture
def token(db: None) -> str:
    shop = add_shop(code="brindle-bench", by=OPERATOR)
    draft = read_draft(
        "description",
        {
            "ski": {"shop": "brindle-bench", "tag": "BB-01-A"},
            "performed_at": "2025-10-01",
            "body": {},
        },
        node_host=settings.NODE_HOST,
    )
    assert isinstance(draft, DescriptionDraft)
    register_ski(draft=draft, by=shop_actor(shop.handle))
    return issue_api_key(shop=shop.handle, scopes=BENCH_SCOPES, by=OPERATOR).token


def certain(answer: Any) -> Any:
    """Give an answer without what chance and the clock put in."""
    if isinstance(answer, dict):
        return {name: certain(value) for name, value in answer.items() if name not in CHANCE}
    return [certain(value) for value in answer] if isinstance(answer, list) else answer


def names(answer: Any) -> list[str]:
    """Give every name in an answer, in order."""
    if isinstance(answer, dict):
        return [name for key, value in answer.items() for name in (key, *names(value))]
    return [name for value in answer for name in names(value)] if isinstance(answer, list) else []


def test_the_request_of_the_readme_gets_its_answer(token: str, client: Client) -> None:
    words = shlex.split(block("request").replace("\\\n", ""))
    url, body = words[3], words[words.index("-d") + 1]
    headers = [words[place + 1] for place, word in enumerate(words) if word == "-H"]
    assert headers == ["Authorization: Bearer $KEY", "Content-Type: application/json"]
    answered = client.post(
        url.removeprefix("http://127.0.0.1:8000"),
        data=body,
        content_type="application/json",
        headers={"Authorization": f"Bearer {token}"},
    )
    assert answered.status_code == 201
    promised = json.loads(block("answer"))
    assert certain(answered.json()) == certain(promised)
    assert names(answered.json()) == names(promised)


def test_what_the_readme_says_after_it_is_so(token: str, client: Client) -> None:
    authorised = {"Authorization": f"Bearer {token}"}
    body = shlex.split(block("request").replace("\\\n", ""))[-1]
    client.post("/api/v1/jobs", body, content_type="application/json", headers=authorised)
    condition = client.get("/api/v1/skis/brindle-bench/BB-01-A/condition", headers=authorised)
    stands = re.findall(r'"standing": ?"(\w+)"', condition.content.decode())
    assert stands == ["stands"] * 4


@pytest.mark.parametrize("mark", ["command: demo", "command: tests"])
def test_each_command_of_the_readme_is_one_line_that_the_shell_reads(mark: str) -> None:
    command = block(mark)
    assert command.count("\n") == 1
    subprocess.run(["bash", "-n", "-c", command], check=True)
    assert "-c .ci/constraints.txt" in command


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_every_link_between_the_pages_leads_somewhere(page: Path) -> None:
    text = page.read_text(encoding="utf-8")
    text = re.sub(r"```.*?```|`[^`\n]*`", "", text, flags=re.DOTALL)
    links = re.findall(r"\]\(([^)#\s]+)(?:#[^)]*)?\)", text)
    broken = [link for link in links if "://" not in link and not (page.parent / link).exists()]
    assert broken == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(ROOT)))
def test_every_command_that_a_page_names_exists(
    page: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit):
        main(["--help"])
    known = set(re.findall(r"^    ([a-z-]+)", capsys.readouterr().out, re.MULTILINE))
    text = page.read_text(encoding="utf-8")
    named = set(re.findall(r"(?<!ski-)service-registry ([a-z][a-z-]+)", text))
    assert named <= known
