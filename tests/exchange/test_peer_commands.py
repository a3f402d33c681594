"""The commands that follow other nodes, run in this process against logs in memory."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest
from django.db import OperationalError

from apps.exchange.models import Peer
from apps.exchange.peers.keeping import own_key
from apps.exchange.peers.looping import Rounds
from apps.exchange.peers.pulling import Pulled
from apps.records.notes import VerifierKey
from apps.registry.identity import ensure_identity
from apps.registry.models import Record
from service_registry.__main__ import main
from service_registry.commands import peers as commands
from tests.exchange.homes import FakeNode, key_of, vkey_of
from tests.exchange.pulls import HOST, a_home

pytestmark = pytest.mark.django_db

URL = "https://fell.example"
Said = pytest.CaptureFixture[str]


@pytest.fixture
def node(monkeypatch: pytest.MonkeyPatch) -> FakeNode:
    """A node in memory, which whatever is asked over HTTP answers in place of."""
    node = FakeNode(HOST)
    node.add(a_home().records)
    monkeypatch.setattr("apps.exchange.peers.pulling.HttpTransport", lambda *_: node)
    # A test holds its one connection open, with all that it wrote in a transaction.
    monkeypatch.setattr(commands, "close_old_connections", lambda: None)
    return node


def added(*arguments: str) -> int:
    """Add the peer."""
    return main(["add-peer", URL, "--key", vkey_of(HOST), *arguments])


def test_a_peer_is_added_pulled_shown_and_removed(node: FakeNode, capsys: Said) -> None:
    assert added() == 0
    assert "service-registry pull fell.example" in capsys.readouterr().out
    assert main(["pull"]) == 0
    said = capsys.readouterr()
    assert (
        "fell.example: 6 rows, 6 since the last pull; 6 new here; checkpoint cosigned" in said.out
    )
    assert said.err.splitlines() == ["fell.example: 6 of 6 rows"]
    assert main(["peers"]) == 0
    shown = capsys.readouterr().out
    assert own_key().text in shown
    assert "fell.example: following, 6 rows, 0 refused, pulled 20" in shown
    assert main(["remove-peer", HOST]) == 0
    assert "Its records and the evidence stay" in capsys.readouterr().out
    assert main(["peers", HOST]) == 1
    assert "There is no peer fell.example here" in capsys.readouterr().err
    assert Record.objects.filter(origin=HOST).count() == 6


def test_a_replaced_key_is_pinned(node: FakeNode, capsys: Said) -> None:
    added()
    new = VerifierKey(f"{HOST}/log", key_of("new").public).text
    assert main(["pin-key", HOST, "--key", new]) == 0
    assert "held to its new key" in capsys.readouterr().out
    assert Peer.objects.get().vkey == new


def test_the_token_is_the_first_line_of_its_file(
    node: FakeNode, tmp_path: Path, capsys: Said
) -> None:
    file = tmp_path / "token"
    file.write_text("skireg_abc_def\nValid until 2027-01-01.\n")
    assert added("--token-file", str(file)) == 0
    assert Peer.objects.get().token == "skireg_abc_def"
    assert main(["peers", HOST]) == 0
    assert "skireg_abc" not in capsys.readouterr().out


@pytest.mark.parametrize(("text", "hint"), [(None, "can't be read"), ("\n", "is empty")])
def test_a_token_file_that_gives_none_is_named(
    tmp_path: Path, text: str | None, hint: str, capsys: Said
) -> None:
    file = tmp_path / "token"
    if text is not None:
        file.write_text(text)
    assert added("--token-file", str(file)) == 1
    assert hint in capsys.readouterr().err
    assert not Peer.objects.exists()


def test_without_a_peer_there_is_nothing_to_pull(capsys: Said) -> None:
    assert main(["pull"]) == 0
    assert "No peer was added yet" in capsys.readouterr().out


def test_a_peer_in_trouble_does_not_keep_the_others_waiting(node: FakeNode, capsys: Said) -> None:
    main(["add-peer", "https://air.example", "--key", vkey_of("air.example")])
    added()
    assert main(["pull"]) == 1
    said = capsys.readouterr()
    assert "air.example: The checkpoint is of another log than air.example/log." in said.err
    assert "fell.example: 6 rows" in said.out
    assert main(["peers"]) == 0
    assert "  The checkpoint is of another log" in capsys.readouterr().out


def test_a_stopped_peer_is_shown_with_its_evidence_and_followed_again(
    node: FakeNode, capsys: Said
) -> None:
    added()
    main(["pull"])
    lost = node.rows.pop()
    assert main(["pull", HOST]) == 1
    assert main(["pull"]) == 1
    assert "was stopped: The log of fell.example shrank" in capsys.readouterr().err
    assert main(["peers", HOST]) == 0
    shown = capsys.readouterr().out
    assert "fell.example: stopped" in shown
    assert re.search(r"evidence of .*, shrunk: .*row 5 is the first that is gone", shown)
    assert "signed before: 6\n" in shown
    assert "signed now: 5\n" in shown
    node.rows.append(lost)
    assert main(["pull", "--again"]) == 0


def test_refused_rows_are_shown_with_their_reasons(node: FakeNode, capsys: Said) -> None:
    home = a_home()
    for _ in range(25):
        home.write("job", "nobody", tag="FB-1", shop=f"fellbench@{HOST}")
    node.add(home.records)
    added()
    assert main(["pull"]) == 0
    assert "25 refused (see: service-registry peers fell.example)" in capsys.readouterr().out
    main(["peers", HOST])
    lines = capsys.readouterr().out.splitlines()
    assert sum("is not known here" in line for line in lines) == commands.SHOWN
    assert lines[-1] == "  and 5 more were refused"


def test_a_loop_pulls_until_it_is_told_to_end(
    node: FakeNode, monkeypatch: pytest.MonkeyPatch, capsys: Said
) -> None:
    handlers = []
    monkeypatch.setattr("signal.signal", lambda _, handler: handlers.append(handler))
    added()

    def once_more(host: str, rounds: Rounds, old_rows: int) -> None:
        assert old_rows == 256
        plain(host, rounds, old_rows)
        handlers[0](15, None)

    plain = commands._turn
    monkeypatch.setattr(commands, "_turn", once_more)
    assert main(["pull", "--loop", "--every", "1"]) == 0
    said = capsys.readouterr().out
    assert re.search(r"\d\d:\d\d:\d\d fell.example: 6 rows", said)
    assert said.endswith("Ended.\n")


def test_a_turn_that_fails_says_when_the_next_is(node: FakeNode, capsys: Said) -> None:
    added()
    node.origin = "lake.example/log"
    rounds = Rounds(60, clock=lambda: 0.0, chance=lambda: 0.0)
    commands._turn(HOST, rounds)
    assert "Again in 120 seconds." in capsys.readouterr().err
    assert rounds.failures == {HOST: 1}


def test_a_turn_outlives_a_database_that_is_away(
    node: FakeNode, monkeypatch: pytest.MonkeyPatch, capsys: Said
) -> None:
    def away(**_: object) -> Pulled:
        raise OperationalError("server closed the connection")

    monkeypatch.setattr(commands, "pull", away)
    commands._turn(HOST, Rounds(60, clock=lambda: 0.0, chance=lambda: 0.0))
    assert "OperationalError Again in 120 seconds." in capsys.readouterr().err


def test_the_peers_last_known_stay_while_the_database_is_away(
    node: FakeNode, monkeypatch: pytest.MonkeyPatch, capsys: Said
) -> None:
    def away(_: str) -> list[str]:
        raise OperationalError("server closed the connection")

    added()
    following, others = commands.Following([]), commands.Following(["lake.example"])
    assert (following(), others()) == ([HOST], [])
    monkeypatch.setattr(commands, "_hosts_of", away)
    assert following() == [HOST]
    assert "can't be read (OperationalError)" in capsys.readouterr().err


def test_a_turn_with_nothing_new_is_silent(node: FakeNode, capsys: Said) -> None:
    added()
    capsys.readouterr()
    ensure_identity()
    rounds = Rounds(60, clock=lambda: 0.0)
    commands._turn(HOST, rounds)
    assert capsys.readouterr().out.count("\n") == 1
    commands._turn(HOST, rounds)
    assert capsys.readouterr().out == ""


def test_what_a_pull_came_to_is_one_line() -> None:
    result = Pulled(HOST, 2, 9, 3, 2, 1, 1, 2, "The peer was silent.")
    assert commands.sum_up(result) == (
        "fell.example: 9 rows, 7 since the last pull; 3 new here; 2 here already; "
        "1 erased; 1 refused (see: service-registry peers fell.example); "
        "checkpoint not cosigned: The peer was silent."
    )


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def test_progress_is_rewritten_in_place_on_a_terminal_and_a_line_a_tenth_elsewhere() -> None:
    plain, terminal = io.StringIO(), Terminal()
    for stream in (plain, terminal):
        shown = commands.Shown(stream)
        for done in (0, 10, 15, 40, 100):
            shown(HOST, done, 100)
    assert plain.getvalue().splitlines() == [f"{HOST}: {n} of 100 rows" for n in (10, 40, 100)]
    assert terminal.getvalue().count("\r") == 5
    assert terminal.getvalue().endswith("100 of 100 rows\n")
