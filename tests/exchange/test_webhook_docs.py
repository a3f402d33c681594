"""What docs/webhooks.md tells a receiver is what the node does."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from apps.exchange.webhook_schedule import MOST_TRIES, WAITS
from apps.exchange.webhook_sending import SECONDS_IN_ALL
from apps.exchange.webhook_signing import headers_of, new_secret
from apps.exchange.webhook_targets import LOWEST_OTHER_PORT
from apps.exchange.webhooks import MOST_A_SHOP, MOST_SHOWN

PAGE = (Path(__file__).parents[2] / "docs" / "webhooks.md").read_text(encoding="utf-8")
# Lines break where they are full, which is no part of what they say.
FLAT = " ".join(PAGE.split())
NOW = 1738335900


@pytest.fixture(scope="module")
def is_genuine() -> Any:
    """The function of the page."""
    found = re.search(r"<!-- receiver: begin -->\n```python\n(.+?)```", PAGE, re.DOTALL)
    assert found is not None
    names: dict[str, Any] = {}
    exec(found[1], names)  # noqa: S102 - our own page
    return names["is_genuine"]


def test_the_check_of_the_page_takes_what_the_node_sends(is_genuine: Any) -> None:
    secret, body = new_secret(), b'{"type":"log.grown"}'
    headers = dict(headers_of(secret, message="msg_1", moment=NOW, body=body))
    assert is_genuine(secret, headers, body, NOW + 200)
    rotated = {**headers, "webhook-signature": f"v1,AAAA {headers['webhook-signature']}"}
    assert is_genuine(secret, rotated, body, NOW)


def test_it_refuses_what_the_node_does_not_send(is_genuine: Any) -> None:
    secret, body = new_secret(), b'{"type":"log.grown"}'
    headers = dict(headers_of(secret, message="msg_1", moment=NOW, body=body))
    assert not is_genuine(secret, headers, body + b" ", NOW)
    assert not is_genuine(new_secret(), headers, body, NOW)
    assert not is_genuine(secret, {**headers, "webhook-id": "msg_2"}, body, NOW)
    assert not is_genuine(secret, headers, body, NOW + 301)
    assert not is_genuine(secret, headers, body, NOW - 301)
    assert not is_genuine(secret, {**headers, "webhook-timestamp": "now"}, body, NOW)


def test_its_numbers_are_the_nodes() -> None:
    assert f"has at most {MOST_A_SHOP} webhooks" in FLAT
    assert f"the last {MOST_SHOWN} messages" in FLAT
    assert f"within {SECONDS_IN_ALL:.0f} seconds is a try that failed" in FLAT
    assert f"443, or {LOWEST_OTHER_PORT} and above" in FLAT
    assert f"A message gets {MOST_TRIES} tries" in FLAT
    minutes = [wait.total_seconds() / 60 for wait in WAITS]
    assert minutes == [5 / 60, 1, 10, 60, 4 * 60, 12 * 60, 24 * 60]
    assert "5 seconds, 1 minute, 10 minutes, 1, 4, 12 and 24 hours" in FLAT
