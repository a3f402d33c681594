"""A command that can't do what it is asked says what to mend, in words and not by a traceback."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from django.db import OperationalError, ProgrammingError

from service_registry import commands
from service_registry.__main__ import main
from service_registry.demo.node_process import free_port
from tests.node.running import ROOT, run_command


def refused(done: CompletedProcess[str], status: int, *words: str) -> None:
    """The command ended with this status, and said no more than a person needs."""
    assert done.returncode == status
    assert "Traceback" not in done.stderr
    for word in words:
        assert word in done.stderr


@pytest.mark.parametrize(
    "command", [["fsck"], ["rebuild"], ["tidy"], ["add-shop", "fellbench"]], ids=lambda one: one[0]
)
def test_before_the_tables_are_made(command: list[str], tmp_path: Path) -> None:
    done = run_command(*command, DATA_DIR=str(tmp_path))
    refused(done, 1, "no such table", "service-registry prepare")


def test_serving_tables_that_were_not_prepared(tmp_path: Path) -> None:
    port = str(free_port())
    done = run_command("serve", "--prepared", "--port", port, DATA_DIR=str(tmp_path))
    refused(done, 1, "aren't those of this version", "service-registry prepare")


def test_output_that_nobody_reads() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    command = [sys.executable, "-m", "service_registry", "import-template"]
    done = subprocess.run(command, stdout=writing, stderr=subprocess.PIPE, text=True, cwd=ROOT)
    os.close(writing)
    assert (done.returncode, done.stderr) == (1, "")


def test_a_database_that_is_not_there(tmp_path: Path) -> None:
    with socket.socket() as closed:
        closed.bind(("127.0.0.1", 0))
        url = f"postgresql://nobody@127.0.0.1:{closed.getsockname()[1]}/none"
        done = run_command("prepare", DATA_DIR=str(tmp_path), DATABASE_URL=url)
    refused(done, 1, "can't be used", "DATABASE_URL")


@pytest.mark.parametrize("command", ["prepare", "serve", "demo"])
def test_a_folder_that_can_t_be_made(command: str, tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = str(probe.getsockname()[1])
    port_too = [] if command == "prepare" else ["--port", port]
    done = run_command(command, *port_too, DATA_DIR=str(tmp_path / "file" / "data"))
    refused(done, 1, "can't be made", "Give another")


@pytest.mark.parametrize("command", ["serve", "demo"])
def test_a_port_that_another_server_has(command: str, tmp_path: Path) -> None:
    with socket.socket() as other:
        # Another node shares its port with whoever asks for it in this way.
        other.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEPORT, 1)
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = str(other.getsockname()[1])
        done = run_command(command, "--port", port, DATA_DIR=str(tmp_path / "data"))
    refused(done, 1, f"Port {port} of 127.0.0.1", "--port")
    assert not (tmp_path / "data").exists()


def test_a_host_that_is_no_address_here(tmp_path: Path) -> None:
    done = run_command("serve", "--host", "no-such.invalid", DATA_DIR=str(tmp_path))
    refused(done, 1, "no-such.invalid can't be used", "--host")


@pytest.mark.parametrize(
    ("arguments", "limits"),
    [
        (["serve", "--port", "99999"], "1 to 65535"),
        (["serve", "--port", "0"], "1 to 65535"),
        (["serve", "--port", "-1"], ""),
        (["demo", "--port", "http"], "1 to 65535"),
        (["serve", "--workers", "0"], "1 to 256"),
        (["issue-key", "fellbench", "--days", "0"], "1 to 1098"),
        (["issue-key", "fellbench", "--days", "1099"], "1 to 1098"),
    ],
    ids=lambda one: " ".join(one) if isinstance(one, list) else one,
)
def test_a_number_out_of_its_limits(
    arguments: list[str], limits: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as caught:
        main(arguments)
    assert caught.value.code == 2
    assert limits in capsys.readouterr().err


# The words are those of PostgreSQL's server and of its library.
@pytest.mark.parametrize(
    ("error", "mend"),
    [
        (ProgrammingError('relation "registry_shop" does not exist\nLINE 1: ...'), "prepare"),
        (ProgrammingError("permission denied for table registry_shop"), "lets you in"),
        (OperationalError('connection failed: database "none" does not exist'), "DATABASE_URL"),
    ],
)
def test_what_the_database_refuses_is_one_line_with_a_mend(error: Exception, mend: str) -> None:
    said = commands.of_database(error)
    assert mend in said
    assert "\n" not in said
