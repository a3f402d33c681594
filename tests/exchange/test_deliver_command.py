"""The command as its own process, once and as a loop, against a receiver on the loopback."""

from __future__ import annotations

import base64
import hashlib
import hmac
import json
import os
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from django.db import OperationalError

from apps.registry.errors import StorageBusy
from service_registry.commands import webhooks as command
from tests.exchange.nodes import until
from tests.exchange.receiver import Received, Receiver, receiving
from tests.node.running import ROOT, run_command

PATIENCE_S = 120

ADD = """
import sys, django
django.setup()
from apps.exchange.webhooks import add_webhook
from apps.registry.actors import shop_actor
added = add_webhook(url=sys.argv[1], by=shop_actor("fellbench@localhost.invalid"))
print(added.secret)
"""
GROW = """
import sys, django
django.setup()
from apps.records.reading import read_draft
from apps.registry.actions import register_ski
from apps.registry.actors import shop_actor
host = "localhost.invalid"
shop = "fellbench@localhost.invalid"
members = {"ski": {"shop": shop, "tag": sys.argv[1]}, "performed_at": "2025-01-31", "body": {}}
draft = read_draft("description", members, node_host=host)
register_ski(draft=draft, by=shop_actor(shop))
"""


class Node:
    """A database of its own, with one shop, and commands that run on it."""

    def __init__(self, folder: Path) -> None:
        self.environment = {
            "PATH": os.defpath,
            "DATA_DIR": str(folder),
            "WEBHOOK_NETWORKS": "127.0.0.0/8",
            "DJANGO_SETTINGS_MODULE": "service_registry.settings",
        }
        self.command("prepare")
        self.command("add-shop", "fellbench")

    def command(self, *arguments: str) -> str:
        """Run a command of the node to its good end; gives what it said."""
        done = run_command(*arguments, **self.environment)
        assert done.returncode == 0, done.stderr
        return done.stdout

    def script(self, text: str, *arguments: str) -> str:
        """Run a script on the node's database."""
        done = subprocess.run(
            [sys.executable, "-c", text, *arguments],
            env=self.environment,
            cwd=ROOT,
            capture_output=True,
            text=True,
            timeout=PATIENCE_S,
        )
        assert done.returncode == 0, done.stderr
        return done.stdout.strip()

    @contextmanager
    def loop(self) -> Iterator[subprocess.Popen[str]]:
        """Deliver in a loop until the block ends."""
        process = subprocess.Popen(
            [sys.executable, "-m", "service_registry", "deliver", "--loop", "--every", "1"],
            env=self.environment,
            cwd=ROOT,
            stdout=subprocess.PIPE,
            text=True,
        )
        try:
            yield process
        finally:
            end(process)


def end(process: subprocess.Popen[str]) -> None:
    """End a process politely, then for certain."""
    process.terminate()
    try:
        process.communicate(timeout=60)
    except subprocess.TimeoutExpired:
        process.kill()
        process.communicate(timeout=60)


@pytest.fixture
def node(tmp_path: Path) -> Node:
    """A node that is prepared."""
    return Node(tmp_path)


def is_signed(request: Received, secret: str) -> bool:
    """Check a message as a receiver would, by the text of Standard Webhooks 1.0.0 alone."""
    key = base64.b64decode(secret.removeprefix("whsec_"))
    signed = b".".join(
        [
            request.headers["webhook-id"].encode(),
            request.headers["webhook-timestamp"].encode(),
            request.body,
        ]
    )
    expected = "v1," + base64.b64encode(hmac.digest(key, signed, hashlib.sha256)).decode()
    return hmac.compare_digest(expected, request.headers["webhook-signature"])


def url_of(receiver: Receiver) -> str:
    """Where the receiver is."""
    return f"http://127.0.0.1:{receiver.port}/in"


def test_once(node: Node) -> None:
    with receiving() as receiver:
        secret = node.script(ADD, url_of(receiver))
        assert node.command("deliver") == ""
        node.script(GROW, "FB-0001")
        said = node.command("deliver")
        assert node.command("deliver") == ""
    assert " delivered: Told of " in said
    (came,) = receiver.received
    assert is_signed(came, secret)
    assert not is_signed(came, "whsec_" + base64.b64encode(b"another" * 5).decode())
    assert abs(int(came.headers["webhook-timestamp"]) - time.time()) < 300
    data = json.loads(came.body)["data"]
    assert data["until"] == data["from"] + 1


def test_a_loop_tries_again_and_ends_when_told(node: Node) -> None:
    statuses = iter([503, 204])

    def answering(_request: Received) -> tuple[int, dict[str, str]]:
        return next(statuses, 204), {}

    with receiving(answering) as receiver:
        secret = node.script(ADD, url_of(receiver))
        with node.loop() as process:
            node.script(GROW, "FB-0001")
            until(lambda: len(receiver.received) == 2, within_s=PATIENCE_S)
            process.terminate()
            said, _ = process.communicate(timeout=PATIENCE_S)
    assert process.returncode == 0
    first, again = receiver.received
    assert first.headers["webhook-id"] == again.headers["webhook-id"]
    assert first.body == again.body
    assert int(first.headers["webhook-timestamp"]) < int(again.headers["webhook-timestamp"])
    assert is_signed(first, secret)
    assert is_signed(again, secret)
    assert " waiting: Could not tell of " in said
    assert " delivered: Told of " in said


class Rounds:
    """Stands in for a round of deliveries; ends the loop after the last."""

    def __init__(self, over: threading.Event, *errors: Exception | None) -> None:
        self.over = over
        self.errors = list(errors)

    def __call__(self) -> None:
        error = self.errors.pop(0)
        if not self.errors:
            self.over.set()
        if error is not None:
            raise error


class Waits(threading.Event):
    """Notes how long is waited, and waits not at all."""

    def __init__(self) -> None:
        super().__init__()
        self.waited: list[float] = []

    def wait(self, timeout: float | None = None) -> bool:
        """Note the wait."""
        self.waited.append(timeout or 0)
        return self.is_set()


@pytest.mark.django_db
def test_a_database_that_is_away_makes_waits_longer_and_no_end(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    over = Waits()
    away = OperationalError("the connection is lost")
    rounds = Rounds(over, away, StorageBusy("The database is busy."), None, away, None)
    monkeypatch.setattr(command, "deliver_once", rounds)
    monkeypatch.setattr(command, "close_old_connections", lambda: None)
    command.deliver_until(over, every_s=5)
    assert over.waited == [10, 20, 5, 10, 5]
    assert "the connection is lost" in capsys.readouterr().err


def test_a_mistake_of_ours_ends_the_loop(monkeypatch: pytest.MonkeyPatch) -> None:
    over = threading.Event()
    broken: Callable[[], None] = Rounds(over, ValueError("ours"), None)
    monkeypatch.setattr(command, "deliver_once", broken)
    with pytest.raises(ValueError, match="ours"):
        command.deliver_until(over, every_s=5)
