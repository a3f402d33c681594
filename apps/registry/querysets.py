"""How the tables are read: what a caller may not see does not exist for it."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple, Self

from django.db import models
from django.db.models import Exists, OuterRef, Q

from apps.registry.errors import UnknownRecord, UnknownTag

if TYPE_CHECKING:
    # The linter takes a model named in a class's bases for unused.
    from apps.registry.models.condition import Condition  # noqa: F401
    from apps.registry.models.idempotency import IdempotencyKey  # noqa: F401
    from apps.registry.models.keys import ApiKey, KeptKey, SigningKey  # noqa: F401
    from apps.registry.models.label_range import LabelRange  # noqa: F401
    from apps.registry.models.people import Member  # noqa: F401
    from apps.registry.models.record import Record
    from apps.registry.models.share import ShareLink
    from apps.registry.models.shop import LookUp  # noqa: F401
    from apps.registry.models.ski import Tag


class StoredRecord(NamedTuple):
    """A record's bytes with what is kept beside them, without a model around it."""

    id: str
    document: bytes
    signature: str
    author: str
    kind: str
    format: int
    rank: str
    performed_at: str
    target: str
    origin: str
    received_at: datetime
    log_index: int
    erased_by: str


class RecordQuerySet(models.QuerySet["Record"]):
    """Reads of the records."""

    def get_id(self, record_id: str) -> Record:
        """Give the record of this id.

        Raises
        ------
        UnknownRecord
            If there is none, or none that the queryset lets see.
        """
        found = self.filter(id=record_id).first()
        if found is None:
            raise UnknownRecord(f"There is no record {record_id} that you can read.")
        return found

    def of_tags(self, tags: Collection[str]) -> Self:
        """Records about any of some tags, each as `handle/TAG`."""
        return self.filter(subject__in=tags)

    def written_by(self, handle: str) -> Self:
        """Records that one shop wrote."""
        return self.filter(author=handle)

    def concerning(self, handle: str) -> Self:
        """Records that one shop wrote, and what anybody wrote about its tags."""
        return self.filter(Q(author=handle) | Q(subject__shop=handle))

    def readable(self) -> Self:
        """Records that can be read: neither erased, nor of a later format and only relayed."""
        return self.filter(format=1, erased_by="")

    def of_kind(self, *kinds: str) -> Self:
        """Records of some kinds, of the format that this version reads; erased ones too."""
        return self.filter(format=1, kind__in=kinds)

    def visible_to(self, handle: str) -> Self:
        """Records a shop may read by id: its own, its skis', and those of tags it looked up.

        Those about no ski are keys and their ends, which everybody may check signatures by.
        """
        from apps.registry.models import LookUp, Tag

        same_ski = Tag.objects.filter(ski__cluster=OuterRef("subject__ski__cluster"))
        own_tag = same_ski.filter(shop=handle)
        seen = same_ski.filter(
            key__in=LookUp.objects.filter(shop_id=handle).values("tag_key"),
        )
        about_no_ski = Q(subject__isnull=True)
        return self.filter(Q(author=handle) | about_no_ski | Exists(own_tag) | Exists(seen))

    def page(self, *, after: int, up_to: int, size: int) -> Self:
        """The next records of the log after one index and before a bound that stays fixed."""
        return self.filter(log_index__gt=after, log_index__lt=up_to).order_by("log_index")[:size]

    def in_history_order(self) -> Self:
        """Records by time and what they are, then by author, then as that author stated them."""
        return self.order_by("order_key", "author", "log_index")

    def stored(self) -> Iterator[StoredRecord]:
        """The rows as plain tuples: one query, no model made for each."""
        rows = self.values_list(*StoredRecord._fields).iterator()
        for record_id, document, *rest in rows:
            # PostgreSQL hands binary columns out as a memoryview.
            yield StoredRecord(record_id, bytes(document), *rest)


class TagQuerySet(models.QuerySet["Tag"]):
    """Reads of the tags."""

    def of_shop(self, handle: str) -> Self:
        """Tags that one shop gave out."""
        return self.filter(shop=handle)

    def find(self, shop: str, tag: str) -> Tag:
        """Give the tag.

        Raises
        ------
        UnknownTag
            If no ski is registered under it.
        """
        found = self.select_related("ski").filter(shop=shop, tag=tag).first()
        if found is None:
            raise UnknownTag(f"No ski is registered under the tag {tag} of {shop}.")
        return found


class LookUpQuerySet(models.QuerySet["LookUp"]):
    """Reads of the look-ups."""

    def of_tag(self, key: str) -> Self:
        """Who looked at a tag, the latest first."""
        return self.filter(tag_key=key).order_by("-looked_at", "-id")

    def on_tags_of(self, handle: str) -> Self:
        """Who looked at the tags of a shop, the latest first."""
        return self.filter(tag_key__startswith=f"{handle}/").order_by("-id")


class SigningKeyQuerySet(models.QuerySet["SigningKey"]):
    """Reads of the keys that sign."""

    def of_author(self, handle: str) -> Self:
        """All keys of an author, ended ones too, in the order of the log."""
        return self.filter(author=handle).order_by("valid_from")

    def live(self) -> Self:
        """Keys that speak at the end of the log."""
        return self.filter(ends_at__isnull=True)


class KeptKeyQuerySet(models.QuerySet["KeptKey"]):
    """Reads of the keys that the node signs with."""

    def kept_for(self, handle: str) -> Self:
        """The key that the node keeps for a shop, if any."""
        return self.filter(shop=handle)


class ApiKeyQuerySet(models.QuerySet["ApiKey"]):
    """Reads of the keys that let programs in."""

    def live(self, now: datetime) -> Self:
        """Keys that are neither revoked nor expired."""
        return self.filter(revoked_at__isnull=True, expires_at__gt=now)


class ConditionQuerySet(models.QuerySet["Condition"]):
    """Reads of the folded states."""

    def fleet_of(self, handle: str) -> Self:
        """The skis whose key is a tag of the shop; every index of the fleet begins with it."""
        return self.filter(shop=handle)

    def page(self, *, after: str, size: int) -> Self:
        """The next skis by key."""
        return self.filter(ski__gt=after).order_by("ski")[:size]


class IdempotencyKeyQuerySet(models.QuerySet["IdempotencyKey"]):
    """Reads of the answers that are kept for a repeat."""

    def older_than(self, moment: datetime) -> Self:
        """Answers from before a moment."""
        return self.filter(created_at__lt=moment)


class MemberQuerySet(models.QuerySet["Member"]):
    """Reads of the people."""

    def of_shop(self, handle: str) -> Self:
        """The people of one shop, by nickname, with their log-ins."""
        return self.select_related("user").filter(shop=handle).order_by("user__username")


class ShareLinkQuerySet(models.QuerySet["ShareLink"]):
    """Reads of the links to one ski."""

    def of_shop(self, handle: str) -> Self:
        """The links of one shop, the latest first; ended ones too."""
        return self.filter(shop=handle).order_by("-created_at", "-prefix")

    def before(self, link: ShareLink) -> Self:
        """Those that come after one of them in the order of `of_shop`."""
        older = Q(created_at__lt=link.created_at)
        return self.filter(older | Q(created_at=link.created_at, prefix__lt=link.prefix))

    def live(self, now: datetime) -> Self:
        """Links that are neither revoked nor expired."""
        return self.filter(revoked_at__isnull=True, expires_at__gt=now)


class LabelRangeQuerySet(models.QuerySet["LabelRange"]):
    """Reads of the tags that were issued."""

    def of_shop(self, handle: str) -> Self:
        """The ranges of one shop, the latest first."""
        return self.filter(shop=handle).order_by("-created_at", "-id")
