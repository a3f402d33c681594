"""Takes the pictures of the pages for the docs: ``python -m tests.browser.screenshots``.

They are taken of the demo's scenario as it is on the day. Nothing compares them: look at them.
"""

from __future__ import annotations

import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path

from playwright.sync_api import Page, ViewportSize

from tests.browser.chromium import running
from tests.browser.every_page import HERO, OPERATOR, OWNER, RACER, READER, TECHNICIAN
from tests.browser.serving import served
from tests.browser.visits import PHONE, Scheme, Visits

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "pages"
# As wide as the one column of a page.
DESK: ViewportSize = {"width": 900, "height": 620}
IN_USE = "veskerdal-hire/VH-108-A"
PLAN = "plan?base=0.5&side=2&structure=on&wax=on"


@dataclass(frozen=True)
class Shot:
    """One picture.

    Parameters
    ----------
    name : str
        Of the file.
    path : str
    who : str
        The role of whoever is logged in; "" for a guest.
    on_phone : bool
    scheme : {"light", "dark"}
    at : str
        What is scrolled to the upper edge.
    on_paper : bool
        Whether it is shown as it is printed.
    """

    name: str
    path: str
    who: str = ""
    on_phone: bool = False
    scheme: Scheme = "light"
    at: str = ""
    on_paper: bool = False


SHOTS = (
    Shot("ski", f"/t/{HERO}", READER),
    Shot("ski-phone-dark", f"/t/{HERO}", READER, on_phone=True, scheme="dark"),
    Shot("ski-edges", f"/t/{HERO}", READER, at="#edges"),
    Shot("ski-left", f"/t/{HERO}", READER, at="#material"),
    Shot(
        "ski-left-dark", f"/t/{HERO}", READER, scheme="dark", at="[aria-labelledby=material] figure"
    ),
    Shot("ski-map", f"/t/{HERO}", READER, at="#findings"),
    Shot("buyer-phone", "/s/{share}", on_phone=True),
    Shot("certificate", "/s/{share}/certificate", on_paper=True),
    Shot("bench-phone-dark", "/bench", TECHNICIAN, on_phone=True, scheme="dark"),
    Shot("bench-ski", f"/bench/{IN_USE}", TECHNICIAN),
    Shot("plan", f"/bench/{RACER}/{PLAN}", TECHNICIAN, at="#answer"),
    Shot("plan-phone", f"/bench/{IN_USE}/{PLAN}", TECHNICIAN, on_phone=True),
    Shot("job-phone", f"/bench/{IN_USE}/job", TECHNICIAN, on_phone=True),
    Shot("fleet", "/fleet", READER),
    Shot("due-phone", "/fleet/due?within=90", READER, on_phone=True, at=".ruled"),
    Shot("outlook-dark", "/fleet/outlook", READER, scheme="dark"),
    Shot("pairs", "/fleet/pairs", READER),
    Shot("labels", "/labels/{range}/print", TECHNICIAN, at="svg.sheet"),
    Shot("links", "/shop/links", OWNER),
    Shot("node", "/node", OPERATOR),
)


def take(shot: Shot, visits: Visits) -> Path:
    """Take one picture, and give its file."""
    page = visits.page(shot.who, viewport=PHONE if shot.on_phone else DESK, scheme=shot.scheme)
    page.goto(visits.node.fill(shot.path))
    if shot.on_paper:
        page.emulate_media(media="print")
    if shot.at:
        _scroll_to(page, shot.at)
    file = FOLDER / f"{shot.name}.png"
    page.screenshot(path=file)
    return file


def _scroll_to(page: Page, selector: str) -> None:
    page.locator(selector).first.evaluate("found => found.scrollIntoView()")


def main() -> int:
    """Take all pictures."""
    FOLDER.mkdir(exist_ok=True)
    with (
        tempfile.TemporaryDirectory() as folder,
        served(Path(folder)) as node,
        running() as browser,
    ):
        visits = Visits(browser, node)
        files = [take(shot, visits) for shot in SHOTS]
        visits.close()
    size_kib = sum(file.stat().st_size for file in files) // 1024
    print(f"{len(files)} pictures, {size_kib} KiB")  # noqa: T201 - a command says what it did
    return 0


if __name__ == "__main__":
    sys.exit(main())
