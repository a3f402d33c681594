"""A small receiver of webhooks on the loopback, over HTTP or TLS."""

from __future__ import annotations

import datetime
import ssl
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

NAME = "hooks.fellbench.example"


@dataclass(frozen=True)
class Received:
    """One request as it came."""

    path: str
    headers: dict[str, str]
    body: bytes


Answering = Callable[[Received], tuple[int, dict[str, str]]]


@dataclass
class Receiver:
    """What came, and where it is."""

    port: int
    answering: Answering
    received: list[Received] = field(default_factory=list)


def _fine(_request: Received) -> tuple[int, dict[str, str]]:
    return 204, {}


@contextmanager
def receiving(
    answering: Answering = _fine, *, tls: ssl.SSLContext | None = None
) -> Iterator[Receiver]:
    """Receive until the block ends."""

    class Handler(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["Content-Length"]))
            lowered = {name.lower(): value for name, value in self.headers.items()}
            request = Received(self.path, lowered, body)
            receiver.received.append(request)
            status, headers = receiver.answering(request)
            self.send_response(status)
            for name, value in headers.items():
                self.send_header(name, value)
            self.end_headers()

        def log_message(self, format: str, *args: object) -> None:  # noqa: A002 - theirs
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
    # A handshake that fails is a test's subject and nothing to print.
    server.handle_error = lambda *_: None  # type: ignore[method-assign]
    if tls is not None:
        server.socket = tls.wrap_socket(server.socket, server_side=True)
    receiver = Receiver(server.server_address[1], answering)
    thread = threading.Thread(target=server.serve_forever, args=(0.05,), daemon=True)
    thread.start()
    try:
        yield receiver
    finally:
        server.shutdown()
        server.server_close()
        thread.join(10)


def certificate(folder: Path, name: str = NAME) -> tuple[ssl.SSLContext, ssl.SSLContext]:
    """Make a certificate for a name; gives a context that shows it and one that trusts it."""
    key = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "test")])
    now = datetime.datetime.now(datetime.UTC)
    made = (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(subject)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - datetime.timedelta(days=1))
        .not_valid_after(now + datetime.timedelta(days=1))
        .add_extension(x509.SubjectAlternativeName([x509.DNSName(name)]), critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    pem = made.public_bytes(serialization.Encoding.PEM)
    secret = key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    (folder / "both.pem").write_bytes(secret + pem)
    shows = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    shows.load_cert_chain(folder / "both.pem")
    trusts = ssl.create_default_context(cadata=pem.decode())
    return shows, trusts
