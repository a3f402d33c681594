"""The commands that let people in and out; the password never stands on the command line."""

from __future__ import annotations

import io
import sys
from collections.abc import Iterator

import pytest
from django.contrib.auth import authenticate
from django.contrib.auth.models import User

from apps.registry import actions
from apps.registry.actors import OPERATOR
from apps.registry.models import Member
from service_registry.__main__ import main
from service_registry.commands import people

pytestmark = pytest.mark.django_db

GOOD = "grey-slate-torrent"


class Terminal(io.StringIO):
    """Standard input as somebody at a terminal has it."""

    def isatty(self) -> bool:
        """Say that it is one."""
        return True


@pytest.fixture
def shop(db: None) -> str:
    """A shop of the node; gives its handle."""
    return actions.add_shop(code="fellbench", by=OPERATOR).handle


def told(monkeypatch: pytest.MonkeyPatch, password: str, *arguments: str) -> int:
    """Run a command with a password on standard input."""
    monkeypatch.setattr(sys, "stdin", io.StringIO(password))
    return main(list(arguments))


def test_a_person_is_added_and_logs_in(
    shop: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    options = ["--shop", "fellbench", "--role", "owner", "--alias", "fb1", "--unit", "um"]
    assert told(monkeypatch, f"{GOOD}\r\n", "add-person", "wren", *options, "--language", "de") == 0
    shown = capsys.readouterr()
    assert shown.out == f"wren logs in as owner of {shop}.\n"
    assert GOOD not in shown.out + shown.err
    member = Member.objects.get()
    assert authenticate(username="wren", password=GOOD) == member.user
    assert (member.shop_id, member.role, member.alias) == (shop, "owner", "fb1")
    assert (member.unit, member.language) == ("um", "de")


def test_a_technician_unless_told_otherwise(shop: str, monkeypatch: pytest.MonkeyPatch) -> None:
    assert told(monkeypatch, GOOD, "add-person", "wren", "--shop", shop) == 0
    member = Member.objects.get()
    assert (member.role, member.alias, member.unit, member.language) == ("technician", "", "mm", "")


def test_an_operator_comes_and_goes(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert told(monkeypatch, GOOD, "add-person", "ouzel", "--operator") == 0
    assert "as an operator" in capsys.readouterr().out
    assert User.objects.get().is_superuser
    assert main(["remove-person", "Ouzel"]) == 0
    assert "logged out everywhere" in capsys.readouterr().out
    assert authenticate(username="ouzel", password=GOOD) is None


def test_a_person_is_let_in_no_more(shop: str, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("wren", "jay"):
        told(monkeypatch, GOOD, "add-person", name, "--shop", "fellbench", "--role", "owner")
    assert main(["remove-person", "jay"]) == 0
    assert authenticate(username="jay", password=GOOD) is None
    assert [one.user.username for one in Member.objects.of_shop(shop)] == ["wren"]


def test_the_last_owner_stays(
    shop: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    told(monkeypatch, GOOD, "add-person", "wren", "--shop", "fellbench", "--role", "owner")
    assert main(["remove-person", "wren"]) == 1
    assert "without an owner" in capsys.readouterr().err
    assert authenticate(username="wren", password=GOOD) is not None


def test_a_password_is_set_anew(
    shop: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    told(monkeypatch, GOOD, "add-person", "wren", "--shop", "fellbench")
    assert told(monkeypatch, "warm-birch-lantern\n", "set-password", "wren") == 0
    assert authenticate(username="wren", password="warm-birch-lantern") is not None
    assert authenticate(username="wren", password=GOOD) is None
    assert told(monkeypatch, "wren", "set-password", "wren") == 1
    assert "too short" in capsys.readouterr().err
    assert told(monkeypatch, GOOD, "set-password", "jay") == 1
    assert "Nobody here is called jay" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["add-person", "wren", "--shop", "crag"], "There is no shop crag@"),
        (["add-person", "Wren Bird", "--shop", "fellbench"], "A nickname has"),
        (["add-person", "wren", "--shop", "fellbench", "--alias", "a b"], "an alias has"),
    ],
)
def test_what_is_refused_is_told_with_the_mend(
    shop: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
    arguments: list[str],
    sentence: str,
) -> None:
    assert told(monkeypatch, GOOD, *arguments) == 1
    assert sentence in capsys.readouterr().err
    assert not User.objects.exists()


@pytest.mark.parametrize(
    "arguments",
    [
        ["add-person", "wren"],
        ["add-person", "wren", "--shop", "fellbench", "--operator"],
        ["add-person", "wren", "--shop", "fellbench", "--role", "boss"],
        ["add-person", "wren", GOOD, "--shop", "fellbench"],
        ["set-password", "wren", GOOD],
    ],
)
def test_what_is_no_call(
    arguments: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        told(monkeypatch, GOOD, *arguments)
    assert ended.value.code == 2
    assert "usage: service-registry" in capsys.readouterr().err
    assert not User.objects.exists()


def typed(monkeypatch: pytest.MonkeyPatch, *lines: str) -> None:
    """Let somebody type lines at a terminal, each when it is asked for."""
    answers: Iterator[str] = iter(lines)
    monkeypatch.setattr(sys, "stdin", Terminal())
    monkeypatch.setattr(people, "getpass", lambda _: next(answers))


def test_at_a_terminal_it_is_asked_for_twice(shop: str, monkeypatch: pytest.MonkeyPatch) -> None:
    typed(monkeypatch, GOOD, GOOD)
    assert main(["add-person", "wren", "--shop", "fellbench"]) == 0
    assert authenticate(username="wren", password=GOOD) is not None


def test_two_passwords_are_none(
    shop: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    typed(monkeypatch, GOOD, "warm-birch-lantern")
    assert main(["add-person", "wren", "--shop", "fellbench"]) == 1
    assert "two passwords" in capsys.readouterr().err
    assert not User.objects.exists()
