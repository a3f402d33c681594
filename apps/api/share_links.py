"""Share links as members of an answer, and the pages of their list."""

from __future__ import annotations

from datetime import datetime

from apps.api.problem_types import INVALID_PARAMETERS
from apps.api.problems import Mistake, Problem
from apps.api.share_link_requests import ShareLinkQuery
from apps.api.stored import instant
from apps.registry.models import ShareLink
from apps.registry.querysets import ShareLinkQuerySet

NO_PLACE = "There is no such share link of yours; follow `next` as it is given."


def share_link_members(link: ShareLink, *, now: datetime) -> dict[str, object]:
    """Give a link without its secret."""
    moments = {"revoked_at": link.revoked_at, "last_opened_at": link.last_opened_at}
    return {
        "prefix": link.prefix,
        "shop": link.shop_id,
        "tag": link.tag,
        "state": _state(link, now),
        "created_at": instant(link.created_at),
        "expires_at": instant(link.expires_at),
        "opened": link.opened_count,
        **{name: instant(moment) for name, moment in moments.items() if moment is not None},
    }


def _state(link: ShareLink, now: datetime) -> str:
    if link.revoked_at is not None:
        return "revoked"
    return "expired" if link.expires_at <= now else "live"


def listed_links(handle: str, query: ShareLinkQuery) -> ShareLinkQuerySet:
    """Give the links of a shop that a page may hold, the latest first.

    Raises
    ------
    Problem
        `invalid-parameters` where `after` names no link of the shop.
    """
    own = ShareLink.objects.of_shop(handle)
    listed = own if query.tag is None else own.filter(tag=query.tag)
    if query.after is None:
        return listed
    last = own.filter(prefix=query.after).first()
    if last is None:
        mistake = Mistake("not-a-place", NO_PLACE, parameter="after")
        raise Problem(INVALID_PARAMETERS, NO_PLACE, mistakes=[mistake])
    return listed.before(last)


def page_path(token: str) -> str:
    """Give the path of the page that a token opens."""
    return f"/s/{token}"
