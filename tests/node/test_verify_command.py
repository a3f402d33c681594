"""The command that checks a bundle: plain words, and a status that a script can go by."""

from __future__ import annotations

import socket
import subprocess
import sys
from pathlib import Path

import pytest

from apps.records.notes import VerifierKey
from apps.records.signing import PrivateKey
from service_registry.__main__ import main
from tests.records.make_bundle import GOLDEN
from tests.records.test_bundle import NODE_VKEY

OTHER_VKEY = VerifierKey("node.example/log", PrivateKey.from_seed(bytes(32)).public).text


def no_network(*_arguments: object, **_more: object) -> None:
    raise AssertionError("a bundle is checked without a network")


@pytest.fixture(autouse=True)
def cut_off(monkeypatch: pytest.MonkeyPatch) -> None:
    # Nor has this test a database: the runner refuses every query of it.
    monkeypatch.setattr(socket, "socket", no_network)
    monkeypatch.setattr(socket, "getaddrinfo", no_network)


def test_a_bundle_that_holds(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", str(GOLDEN), "--key", NODE_VKEY]) == 0
    said = capsys.readouterr().out
    assert said.startswith("This bundle holds.\nIt has 10 records about the ski ")
    assert f"The node's key is the one that you gave: {NODE_VKEY}" in said


def test_without_a_key_it_says_what_is_left_to_compare(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", str(GOLDEN)]) == 0
    assert f"give it with --key: {NODE_VKEY}" in capsys.readouterr().out


def test_a_changed_bundle(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    changed = tmp_path / "changed.json"
    changed.write_bytes(GOLDEN.read_bytes().replace(b'"days":21', b'"days":22'))
    assert main(["verify", str(changed)]) == 1
    said = capsys.readouterr().out
    assert said.startswith("This bundle does NOT hold. Believe nothing in it.\n")
    assert "/signature: The node's signature doesn't match" in said
    assert "/bundle/records/2/id: The id is not the one of this record." in said


def test_another_key_than_expected(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", str(GOLDEN), "--key", OTHER_VKEY]) == 1
    assert "signed with another key than you gave" in capsys.readouterr().out


def test_a_key_with_a_slip_of_the_pen(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", str(GOLDEN), "--key", NODE_VKEY.replace("50fb", "50fc")]) == 1
    assert "digits of the verifier key" in capsys.readouterr().err


def test_a_file_that_is_not_there(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["verify", str(tmp_path / "none.json")]) == 1
    assert "can't be read: No such file or directory." in capsys.readouterr().err


def test_it_runs_where_nothing_is_set_up(tmp_path: Path) -> None:
    arguments = [sys.executable, "-m", "service_registry", "verify", str(GOLDEN)]
    done = subprocess.run(arguments, capture_output=True, text=True, env={}, check=False)
    assert (done.returncode, done.stderr) == (0, "")
    assert list(tmp_path.iterdir()) == []
