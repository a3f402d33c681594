"""Makes the links that tests start from, and says how tags are joined."""

from __future__ import annotations

from typing import Any

from apps.records.envelope import Draft
from apps.registry.actors import Actor
from apps.registry.models import Tag
from tests.registry.making import a_draft, write


def link(kind: str, one: tuple[str, str], other: tuple[str, str], **members: Any) -> Draft:
    """A link of two tags, each as shop and tag."""
    (shop, tag), (other_shop, other_tag) = one, other
    body = {"other_ski": {"shop": other_shop, "tag": other_tag}, "evidence": ["markings"]}
    return a_draft(kind, shop=shop, tag=tag, body=body, **members)


def say(by: Actor, kind: str, one: str, other: str, **members: Any) -> str:
    """Let a shop say it of two tags, each as `code/TAG`; gives the record's id."""
    tags = [(code, tag) for code, _, tag in (name.partition("/") for name in (one, other))]
    (appended,) = write(by, link(kind, *tags, **members))
    return appended.record_id


def take_back(by: Actor, record_id: str, name: str) -> str:
    """Let a shop take a link back; the tag that it is about is given as `code/TAG`."""
    code, _, tag = name.partition("/")
    (appended,) = write(by, a_draft("retraction", shop=code, tag=tag, refers_to=[record_id]))
    return appended.record_id


def joined() -> set[frozenset[str]]:
    """The tags of each ski, as `code/TAG`."""
    found: dict[str, set[str]] = {}
    for shop, tag, cluster in Tag.objects.values_list("shop", "tag", "ski__cluster"):
        found.setdefault(cluster, set()).add(f"{shop.partition('@')[0]}/{tag}")
    return {frozenset(tags) for tags in found.values()}
