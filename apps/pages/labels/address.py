"""The address that a printed code leads to: labels outlast servers, so it is chosen with care."""

from __future__ import annotations

from dataclasses import dataclass

from django.conf import settings
from django.http import HttpRequest

from apps.pages.addresses import ski_path

# RFC 2606 reserves it, so that a node that has no name of its own yet can't be asked by it.
NO_NAME = ".invalid"


@dataclass(frozen=True, slots=True)
class Root:
    """Beginning of the addresses on labels.

    Parameters
    ----------
    address : str
        Such as `https://ski.example.org`.
    is_trial : bool
        Whether it is only where the page was opened, because the node has no name yet.
    is_elsewhere : bool
        Whether the page was opened under another name than the labels carry.
    """

    address: str
    is_trial: bool
    is_elsewhere: bool

    def of_ski(self, handle: str, tag: str) -> str:
        """Give the whole address of a ski's page."""
        return f"{self.address}{ski_path(handle, tag)}"


def root_of(request: HttpRequest) -> Root:
    """Give what labels begin with: the node's own name, which it keeps for good."""
    if settings.NODE_HOST.endswith(NO_NAME):
        return Root(f"{request.scheme}://{request.get_host()}", is_trial=True, is_elsewhere=False)
    opened = request.get_host().partition(":")[0]
    return Root(
        f"https://{settings.NODE_HOST}",
        is_trial=False,
        is_elsewhere=opened != settings.NODE_HOST,
    )
