"""Finds a Chromium and starts it without a window.

In this order: the program that ``CHROMIUM`` names, one on the path, the one that Playwright keeps
for itself, and the one it fetches when asked. Without any the run fails: what no browser has
shown is not known to work in one.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, Error, sync_playwright

NAMES = ("chromium", "chromium-browser", "google-chrome")
FLAGS = (
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
ARTEFACT = "chromium-headless-shell"
FETCHING = (sys.executable, "-m", "playwright", "install", ARTEFACT)
FETCHING_S = 300
STARTING_MS = 60_000

Start = Callable[[str | None], Browser]


class NoBrowser(Exception):
    """There is no Chromium; the message says how to come by one."""


def named_or_on_path() -> str | None:
    """Give the program that the environment names, or else one on the path.

    Raises
    ------
    NoBrowser
        When the environment names what is not there.
    """
    named = os.environ.get("CHROMIUM")
    if not named:
        return next(filter(None, map(shutil.which, NAMES)), None)
    found = shutil.which(named)
    if not found:
        raise NoBrowser(f"CHROMIUM names {named}, which is no program that can be run.")
    return found


def fetched() -> str:
    """Let Playwright fetch a Chromium of its own; gives what it said when it could not."""
    try:
        done = subprocess.run(FETCHING, timeout=FETCHING_S, capture_output=True, text=True)
    except subprocess.TimeoutExpired:
        return f"not done after {FETCHING_S} seconds"
    return done.stderr.strip() if done.returncode else ""


def start_any(start: Start) -> Browser:
    """Start the first Chromium that is there.

    Raises
    ------
    NoBrowser
    """
    program = named_or_on_path()
    if program:
        return start(program)
    try:
        return start(None)
    except Error:
        trouble = fetched()
    if trouble:
        raise NoBrowser(
            "Install Chromium (Debian: apt-get install chromium) or name one in CHROMIUM; "
            f"fetching {ARTEFACT} failed too: {trouble}"
        )
    return start(None)


@contextmanager
def running() -> Iterator[Browser]:
    """Run a Chromium, and end it in the end."""
    with sync_playwright() as playwright:
        # Playwright starts it without its sandbox, which root could not have anyway: it opens
        # nothing but the pages of the node that the same run serves.
        def start(program: str | None) -> Browser:
            return playwright.chromium.launch(
                executable_path=program, args=list(FLAGS), timeout=STARTING_MS
            )

        browser = start_any(start)
        try:
            yield browser
        finally:
            browser.close()
