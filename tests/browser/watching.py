"""Keeps what a page does that no page of ours may do."""

from __future__ import annotations

from dataclasses import dataclass, field

from playwright.sync_api import BrowserContext, ConsoleMessage, Request

# A browser says what the security policy refused as an error on the console.
SAID = ("error", "warning")


@dataclass
class Watch:
    """What was seen so far in one context.

    Parameters
    ----------
    address : str
        Of the node; every request goes there.
    """

    address: str
    foreign: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    broken: list[str] = field(default_factory=list)

    def begin(self, context: BrowserContext) -> None:
        """Watch every page that this context opens."""
        context.on("request", self._asked)
        context.on("console", self._told)
        context.on("weberror", lambda error: self.broken.append(str(error.error)))

    def _asked(self, request: Request) -> None:
        if not request.url.startswith((f"{self.address}/", "blob:", "data:")):
            self.foreign.append(request.url)

    def _told(self, message: ConsoleMessage) -> None:
        if message.type in SAID:
            self.said.append(f"{message.page and message.page.url}: {message.text}")

    def forget(self) -> None:
        """Begin anew; also for a test that provokes what it then looks at itself."""
        for kept in (self.foreign, self.said, self.broken):
            kept.clear()

    @property
    def complaints(self) -> list[str]:
        """All that was seen; an empty list is what is wanted."""
        return [*self.foreign, *self.said, *self.broken]
