"""The node under test as the checks see it: an address, credentials, and skis made for the run."""

from __future__ import annotations

import json
import secrets
import time
from collections.abc import Callable, Mapping
from concurrent.futures import ThreadPoolExecutor
from functools import cached_property
from typing import Any, TypeVar

import urllib3
from urllib3.exceptions import HTTPError

from service_registry.conformance.answers import Answer
from service_registry.conformance.checks import Failed, NotRun

T = TypeVar("T")

ROOT = "/api/v1"
SECONDS = 30.0
MOST_BYTES = 16 * 1024 * 1024
MOST_WAITS = 3
LONGEST_WAIT_S = 60
AT_ONCE = 8


class Node:
    """Asks a node.

    Parameters
    ----------
    url : str
        Scheme, host and port.
    key : str
        API key of a shop with the scopes `read` and `write`; the run writes records with it.
    feed : str, optional
        API key with the scope `feed`.
    """

    def __init__(self, url: str, *, key: str, feed: str | None = None) -> None:
        self.url = url.rstrip("/")
        self._key = key
        self._feed = feed
        self._pool = urllib3.PoolManager(maxsize=AT_ONCE, block=True, retries=False)
        self.run_id = secrets.token_hex(4).upper()
        self._made = 0

    def send(
        self,
        method: str,
        path: str,
        *,
        document: object = None,
        body: bytes | None = None,
        headers: Mapping[str, str] | None = None,
        key: str | None = "own",
    ) -> Answer:
        """Send a request below the root, or to an absolute path; waits where it is told to.

        Parameters
        ----------
        document : any JSON value
            The body, unless `body` gives its bytes.
        key : str or None
            "own", "feed", another token, or None to send without one.
        """
        if document is not None:
            body = json.dumps(document).encode()
        sent = {"Accept": "*/*", **self._credentials(key), **(headers or {})}
        if body is not None:
            sent.setdefault("Content-Type", "application/json")
        address = path if path.startswith("/") else f"{ROOT}/{path}"
        for _ in range(MOST_WAITS):
            answer = self._once(method, address, body, sent)
            wait = answer.headers.get("retry-after", "1")
            if answer.status not in {429, 503} or not wait.isdecimal():
                return answer
            time.sleep(min(int(wait), LONGEST_WAIT_S))
        return answer

    def _credentials(self, key: str | None) -> dict[str, str]:
        if key is None:
            return {}
        if key == "feed" and self._feed is None:
            raise NotRun("It needs a key with the scope `feed`: give --feed.")
        token = {"own": self._key, "feed": self._feed}.get(key, key)
        return {"Authorization": f"Bearer {token}"}

    def _once(
        self, method: str, address: str, body: bytes | None, headers: Mapping[str, str]
    ) -> Answer:
        try:
            response = self._pool.request(
                method,
                self.url + address,
                body=body,
                headers=headers,
                redirect=False,
                timeout=urllib3.Timeout(total=SECONDS),
                preload_content=False,
            )
            content = response.read(MOST_BYTES + 1)
            response.release_conn()
        except (HTTPError, OSError) as error:
            raise Failed(f"{method} {address} got no whole answer: {error}.") from error
        if len(content) > MOST_BYTES:
            raise Failed(f"{method} {address} answered more than {MOST_BYTES} bytes.")
        named = {name.lower(): value for name, value in response.headers.items()}
        return Answer(f"{method} {address}", response.status, named, content)

    def get(self, path: str, **options: Any) -> Answer:
        """GET an address."""
        return self.send("GET", path, **options)

    def post(self, path: str, document: object, **options: Any) -> Answer:
        """POST a document."""
        return self.send("POST", path, document=document, **options)

    def at_once(self, call: Callable[[int], T], *, times: int = AT_ONCE) -> list[T]:
        """Call with each number from 0, several at the same time."""
        with ThreadPoolExecutor(AT_ONCE) as pool:
            return list(pool.map(call, range(times)))

    @cached_property
    def ski(self) -> Answer:
        """The answer to registering the ski that most checks write about."""
        return self.register().has_status(201)

    @property
    def shop(self) -> str:
        """Handle of the shop whose key it is."""
        return str(self.ski.at("record", "author"))

    @property
    def tag(self) -> str:
        """Tag of that ski."""
        return str(self.ski.at("record", "ski", "tag"))

    @property
    def ski_path(self) -> str:
        """Address of that ski."""
        return f"skis/{self.shop}/{self.tag}"

    def new_tag(self) -> str:
        """Give a tag that nobody has."""
        self._made += 1
        return f"CONFORM-{self.run_id}-{self._made}"

    def register(self, tag: str | None = None, **options: Any) -> Answer:
        """Register a ski."""
        document = {
            "ski": {"tag": tag or self.new_tag()},
            "performed_at": "2025-01-31",
            "body": {"model_text": "conformance run"},
        }
        return self.post("skis", document, **options)

    def usage(self, days: int = 1) -> dict[str, Any]:
        """Give a draft of a small record on that ski."""
        return {
            "ski": {"shop": self.shop, "tag": self.tag},
            "performed_at": "2025-01-31",
            "body": {"days": days},
        }

    def write(self, segment: str, document: object, **options: Any) -> Answer:
        """Write a record that is well."""
        return self.post(segment, document, **options).has_status(201)
