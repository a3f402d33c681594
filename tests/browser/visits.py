"""People who open pages: each with a context of their own, as if on a device of their own."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from playwright.sync_api import Browser, BrowserContext, Page, StorageState, ViewportSize

from tests.browser.serving import Node
from tests.browser.watching import Watch

PHONE: ViewportSize = {"width": 360, "height": 740}
DESKTOP: ViewportSize = {"width": 1280, "height": 800}
WAIT_MS = 20_000
Scheme = Literal["light", "dark"]


@dataclass
class Visits:
    """All visits to the node; what any page did that it may not do is kept in `watch`.

    Parameters
    ----------
    browser : Browser
    node : Node
    """

    browser: Browser
    node: Node
    watch: Watch = field(init=False)
    _open: list[BrowserContext] = field(default_factory=list)
    _entered: dict[str, StorageState] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.watch = Watch(self.node.address)

    def page(
        self,
        who: str = "",
        *,
        viewport: ViewportSize = DESKTOP,
        scheme: Scheme = "light",
        scripts: bool = True,
        language: str = "en-GB",
    ) -> Page:
        """Open an empty page on a new device; with a role, its person is logged in there."""
        context = self.browser.new_context(
            base_url=self.node.address,
            viewport=viewport,
            color_scheme=scheme,
            java_script_enabled=scripts,
            locale=language,
            storage_state=self._state(who) if who else None,
        )
        context.set_default_timeout(WAIT_MS)
        self.watch.begin(context)
        self._open.append(context)
        return context.new_page()

    def shown(self) -> list[tuple[str, str]]:
        """Give the address and the text of every open page."""
        pages = [page for context in self._open for page in context.pages]
        return [(page.url, page.inner_text("body")) for page in pages if page.url != "about:blank"]

    def close(self) -> None:
        """Put all devices away."""
        while self._open:
            self._open.pop().close()

    def _state(self, who: str) -> StorageState:
        # One log-in a person is enough for all tests; the way in has a test of its own.
        if who not in self._entered:
            page = self.page()
            enter(page, *self.node.people[who])
            self._entered[who] = page.context.storage_state()
            page.close()
        return self._entered[who]


def enter(page: Page, name: str, password: str) -> None:
    """Log in as anyone does."""
    page.goto("/enter")
    page.locator("input[name=username]").fill(name)
    page.locator("input[name=password]").fill(password)
    page.locator("main form button").first.click()
    page.wait_for_url(lambda url: "/enter" not in url)
