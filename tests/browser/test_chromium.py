"""Which Chromium is started, and what is said when there is none."""

from __future__ import annotations

import subprocess
from typing import Any, cast

import pytest
from playwright.sync_api import Browser, Error

from tests.browser import chromium
from tests.browser.chromium import FETCHING_S, NoBrowser, named_or_on_path, start_any

STARTED = cast("Browser", object())


class Starting:
    """Starts what it is told to, once there is one."""

    def __init__(self, *, is_there: bool) -> None:
        self.is_there = is_there
        self.asked: list[str | None] = []

    def __call__(self, program: str | None) -> Browser:
        self.asked.append(program)
        if not self.is_there:
            raise Error("Executable doesn't exist")
        return STARTED


@pytest.fixture(autouse=True)
def nothing_on_the_path(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("CHROMIUM", raising=False)
    monkeypatch.setenv("PATH", "")


def test_the_one_that_is_named_comes_first(monkeypatch: pytest.MonkeyPatch, tmp_path: Any) -> None:
    for name in ("chromium", "own"):
        program = tmp_path / name
        program.touch(mode=0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    assert named_or_on_path() == str(tmp_path / "chromium")
    monkeypatch.setenv("CHROMIUM", str(tmp_path / "own"))
    start = Starting(is_there=True)
    assert start_any(start) is STARTED
    assert start.asked == [str(tmp_path / "own")]


def test_a_name_of_nothing_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CHROMIUM", "no-such-program")
    with pytest.raises(NoBrowser, match="CHROMIUM names no-such-program"):
        named_or_on_path()


def test_playwrights_own_is_started_where_none_is_on_the_path() -> None:
    start = Starting(is_there=True)
    assert start_any(start) is STARTED
    assert start.asked == [None]


def test_one_is_fetched_where_there_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    start = Starting(is_there=False)

    def fetch(*_: Any, **__: Any) -> subprocess.CompletedProcess[str]:
        start.is_there = True
        return subprocess.CompletedProcess([], 0, "", "")

    monkeypatch.setattr(subprocess, "run", fetch)
    assert start_any(start) is STARTED
    assert start.asked == [None, None]


def test_without_any_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    def fail(*_: Any, **__: Any) -> subprocess.CompletedProcess[str]:
        return subprocess.CompletedProcess([], 1, "", "no network\n")

    monkeypatch.setattr(subprocess, "run", fail)
    with pytest.raises(NoBrowser, match=r"apt-get install chromium.* failed too: no network$"):
        start_any(Starting(is_there=False))


def test_fetching_is_not_waited_for_without_end(monkeypatch: pytest.MonkeyPatch) -> None:
    def hang(*_: Any, **__: Any) -> subprocess.CompletedProcess[str]:
        raise subprocess.TimeoutExpired(chromium.FETCHING, FETCHING_S)

    monkeypatch.setattr(subprocess, "run", hang)
    with pytest.raises(NoBrowser, match="not done after 300 seconds"):
        start_any(Starting(is_there=False))
