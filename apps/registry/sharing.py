"""Links by which somebody without a log-in sees one ski: made once, shown once, ended at once."""

from __future__ import annotations

import hmac
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import F
from django.utils import timezone

from apps.registry import policies
from apps.registry.actors import Actor
from apps.registry.errors import InvalidSetting, NotKnown, UnknownShareLink, UnknownTag
from apps.registry.joining import joined_ski, note_look
from apps.registry.keys import digest_of, new_secret, read_token
from apps.registry.locking import locked_shop
from apps.registry.models import ShareLink, Tag
from apps.registry.storage import storage_errors, writing

# Like an API key, so that a scan for leaked secrets finds it; another word, so that neither is
# taken for the other.
BEGINNING = "skishare"
LONGEST_SHARE_DAYS = 62

UNKNOWN = "This link doesn't work, or works no more. Ask the shop for a new one."


@dataclass(frozen=True, slots=True)
class NewShareLink:
    """A link as it is shown once; `token` is not kept."""

    token: str
    prefix: str
    shop: str
    tag: str
    created_at: datetime
    expires_at: datetime


def make_share_link(
    *,
    shop: str,
    tag: str,
    by: Actor,
    days: int = LONGEST_SHARE_DAYS,
    now: datetime | None = None,
) -> NewShareLink:
    """Make a link to one ski; its token is in the answer and nowhere else.

    A look at other shops' tags that are joined with this one is noted.

    Parameters
    ----------
    shop : str
        Handle of the shop whose tag it is.
    tag : str
        A tag that is on a ski.
    by : Actor
        The shop, with a credential that reads and writes.
    days : int
        How long the link is valid, 1 to 62.

    Raises
    ------
    NotAllowed, UnknownShop, UnknownTag, InvalidSetting
    """
    policies.may_share(by, shop)
    if not 1 <= days <= LONGEST_SHARE_DAYS:
        raise InvalidSetting(
            f"A link is valid for 1 to {LONGEST_SHARE_DAYS} days.", pointer="/valid_days"
        )
    made_at = now or timezone.now()
    secret = new_secret(BEGINNING)
    with writing():
        found = _found(shop, tag)
        link = ShareLink.objects.create(
            prefix=secret.prefix,
            shop=locked_shop(shop),
            tag=found.tag,
            digest=secret.digest,
            created_at=made_at,
            expires_at=made_at + timedelta(days=days),
        )
        # Whoever opens it is nobody here, so the look at joined tags is noted by who shares it.
        note_look(joined_ski(found, "mutual"), by=by, now=made_at)
    return NewShareLink(secret.token, link.prefix, shop, link.tag, link.created_at, link.expires_at)


def _found(shop: str, tag: str) -> Tag:
    try:
        return Tag.objects.find(shop, tag)
    except UnknownTag as error:
        error.pointer = "/tag"
        raise


def revoke_share_link(*, prefix: str, by: Actor, now: datetime | None = None) -> ShareLink:
    """End a link at once; a second time changes nothing.

    Raises
    ------
    NotAllowed
    UnknownShareLink
        If the shop has none of this name.
    """
    policies.may_write(by)
    with writing():
        own = ShareLink.objects.select_for_update().filter(shop=by.handle)
        link: ShareLink | None = own.filter(prefix=prefix).first()
        if link is None:
            raise UnknownShareLink("You have no share link of this name.")
        if link.revoked_at is None:
            # The clock of the machine may have been set back since the link was made.
            link.revoked_at = max(now or timezone.now(), link.created_at)
            link.save(update_fields=["revoked_at"])
    return link


def open_share_link(token: str, *, now: datetime) -> ShareLink:
    """Find the link of a token, and count that it was opened.

    Raises
    ------
    NotKnown
        If it is malformed, unknown, expired or revoked; which of these is not told.
    """
    link = read_share_link(token, now=now)
    with storage_errors():
        # Counted in the database: two who open it at once are two.
        counted = (
            ShareLink.objects.live(now)
            .filter(prefix=link.prefix)
            .update(opened_count=F("opened_count") + 1, last_opened_at=now)
        )
    if not counted:
        raise NotKnown(UNKNOWN)
    link.refresh_from_db(fields=["opened_count", "last_opened_at"])
    return link


def read_share_link(token: str, *, now: datetime) -> ShareLink:
    """Find the link of a token without counting it, for what belongs to the page just opened.

    Raises
    ------
    NotKnown
        As `open_share_link` does.
    """
    parts = read_token(token, BEGINNING)
    if parts is None:
        raise NotKnown(UNKNOWN)
    prefix, secret = parts
    link = ShareLink.objects.live(now).filter(prefix=prefix).first()
    if link is None or not hmac.compare_digest(link.digest, digest_of(secret)):
        raise NotKnown(UNKNOWN)
    return link
