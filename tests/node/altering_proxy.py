"""A proxy that alters what passes, so that a good node behind it looks like a broken one."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import urllib3

DROPPED = frozenset({"connection", "transfer-encoding", "content-length", "date", "server"})


@dataclass(frozen=True)
class Passing:
    """A request with its answer, as they pass; the answer is empty on the way in."""

    method: str
    path: str
    headers: dict[str, str]
    body: bytes
    status: int = 0
    answer_headers: dict[str, str] | None = None
    answer: bytes = b""

    def named(self, name: str) -> str:
        """A header of the answer."""
        return (self.answer_headers or {}).get(name, "")


Altering = Callable[[Passing], Passing]


def unaltered(passing: Passing) -> Passing:
    """Let it pass."""
    return passing


@contextmanager
def proxy(
    url: str, *, requests: Altering = unaltered, answers: Altering = unaltered
) -> Iterator[str]:
    """Pass on to a node until the block ends; gives the address of the proxy."""
    pool = urllib3.PoolManager(maxsize=16, retries=False)

    class Handler(BaseHTTPRequestHandler):
        protocol_version = "HTTP/1.1"

        def _pass(self) -> None:
            body = self.rfile.read(int(self.headers.get("Content-Length") or 0))
            asked = requests(Passing(self.command, self.path, dict(self.headers.items()), body))
            came = pool.request(
                asked.method,
                url + asked.path,
                body=asked.body if "Content-Length" in asked.headers else None,
                headers={k: v for k, v in asked.headers.items() if k != "Connection"},
                redirect=False,
                timeout=60,
            )
            headers = {k.lower(): v for k, v in came.headers.items() if k.lower() not in DROPPED}
            self._send(
                answers(
                    replace(asked, status=came.status, answer_headers=headers, answer=came.data)
                )
            )

        def _send(self, passing: Passing) -> None:
            self.send_response(passing.status)
            for name, value in (passing.answer_headers or {}).items():
                self.send_header(name, value)
            if passing.status not in {204, 304}:
                self.send_header("Content-Length", str(len(passing.answer)))
            self.end_headers()
            if self.command != "HEAD" and passing.status not in {204, 304}:
                self.wfile.write(passing.answer)

        def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - theirs
            pass

    for method in ("GET", "POST", "PUT", "DELETE", "PATCH", "HEAD"):
        setattr(Handler, f"do_{method}", Handler._pass)
    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    thread = threading.Thread(target=server.serve_forever, args=(0.05,), daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_address[1]}"
    finally:
        server.shutdown()
        server.server_close()
        thread.join(10)
        pool.clear()
