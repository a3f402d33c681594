"""Chooses the format of an answer, and heeds the formats that a client rules out with `q=0`."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.http.request import MediaType
from rest_framework.negotiation import DefaultContentNegotiation
from rest_framework.request import Request


class Negotiation(DefaultContentNegotiation):
    """The framework's way, which orders by how exact a range is but overlooks its weight."""

    def get_accept_list(self, request: Request) -> list[str]:
        """Name the ranges that are welcome at all (RFC 9110 section 12.4.2)."""
        return [one for one in super().get_accept_list(request) if not _is_refused(one)]

    def select_renderer(
        self, request: Request, renderers: Iterable[Any], format_suffix: str | None = None
    ) -> Any:
        """Choose among the formats that are not ruled out by name."""
        given = map(MediaType, filter(_is_refused, super().get_accept_list(request)))
        refused = {f"{one.main_type}/{one.sub_type}" for one in given}
        allowed = [one for one in renderers if one.media_type not in refused]
        return super().select_renderer(request, allowed, format_suffix)


def _is_refused(media_range: str) -> bool:
    return MediaType(media_range).quality == 0
