"""Another tag for a ski: it is registered and linked with the old one in one go."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from apps.records.clusters import CAP
from apps.records.envelope import Draft
from apps.registry import policies
from apps.registry.actions import write_drafts
from apps.registry.actors import Actor
from apps.registry.door import lock_log
from apps.registry.errors import WrongState
from apps.registry.joining import joined_ski
from apps.registry.models import Tag
from apps.registry.storage import writing
from apps.registry.submissions import Written


def retag_ski(
    *, shop: str, tag: str, drafts: Sequence[Draft], by: Actor, now: datetime | None = None
) -> list[Written]:
    """Put another tag of the same shop on a ski; the old one stays on it and is never used again.

    Parameters
    ----------
    shop, tag : str
        The tag until now.
    drafts : sequence of Draft
        The description that registers the new tag, and the link of the old one with it.
    by : Actor
        The shop whose tags they are.

    Raises
    ------
    NotAllowed, UnknownTag
    TagExists
        If the new tag is on a ski already.
    WrongState
        If the ski has so many tags that one more would part them all.
    RegistryError
        What `append_records` raises.
    """
    policies.may_retag(by, shop)
    with writing():
        lock_log()
        ski = joined_ski(Tag.objects.find(shop, tag), "mutual")
        if len(ski.joined.tags) + len(ski.joined.apart) >= CAP:
            raise WrongState(
                f"That ski has {CAP} tags by its links, and more are shown apart. Take a link back "
                "that isn't needed.",
                pointer="/tag",
            )
        return write_drafts(drafts=drafts, by=by, registers=True, now=now)
