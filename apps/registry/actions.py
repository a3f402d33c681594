"""Everything that writes: each a keyword-only function with `by=`, whole or not at all."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.conf import settings
from django.db import IntegrityError
from django.utils import timezone

from apps.records.canonical import canonical_bytes
from apps.records.envelope import DescriptionDraft, Draft
from apps.records.errors import InvalidRecord
from apps.records.names import CODE_PATTERN, NODE_CODE, shop_code
from apps.records.reading import compose
from apps.records.signing import PrivateKey
from apps.registry import policies
from apps.registry.actors import SHOP_SCOPES, Actor, Scope
from apps.registry.conditions import refold_shop
from apps.registry.door import append_records, lock_log
from apps.registry.errors import (
    InvalidSetting,
    InvalidSubmission,
    KeyLimit,
    NotAllowed,
    ShopExists,
    raise_all,
)
from apps.registry.identity import ensure_identity
from apps.registry.key_actions import end_key, keep_key, register_key, replace_signing_key
from apps.registry.keys import new_secret
from apps.registry.locking import locked_shop
from apps.registry.models import ApiKey, KeptKey, LookUp, Shop, Tag
from apps.registry.practices import read_settings, settings_text
from apps.registry.storage import storage_errors, writing
from apps.registry.submissions import Submission, Written

__all__ = [
    "add_shop",
    "append_records",
    "end_key",
    "issue_api_key",
    "look_up_tag",
    "register_key",
    "register_ski",
    "replace_signing_key",
    "revoke_api_key",
    "set_practice",
    "write_drafts",
]

LIVE_KEYS = 2
LIVE_PEER_KEYS = 32
PEER_SCOPES = frozenset({Scope.FEED})
DEFAULT_KEY_LIFE = timedelta(days=365)
LONGEST_KEY_LIFE = timedelta(days=3 * 366)
LABEL_LENGTH = 80


@dataclass(frozen=True, slots=True)
class IssuedKey:
    """A new API key; `token` is shown this once and is not kept."""

    token: str
    prefix: str
    shop: str
    scopes: frozenset[Scope]
    expires_at: datetime


def add_shop(*, code: str, label: str = "", by: Actor, key: PrivateKey | None = None) -> Shop:
    """Add a shop of this node, with a signing key that the node keeps for it.

    Parameters
    ----------
    code : str
        The shop's part of its handle: lower-case letters, digits and hyphens.
    label : str
        A trading label for pages; never the name of a person.
    by : Actor
        The operator.
    key : PrivateKey, optional
        The key to keep; a new random one when absent.

    Raises
    ------
    NotAllowed, InvalidSetting, ShopExists
    """
    policies.only_the_operator(by)
    _check_code(code)
    _check_label(label)
    handle = f"{code}@{settings.NODE_HOST}"
    try:
        with writing():
            ensure_identity()
            shop = Shop(handle=handle, code=code, label=label, created_at=timezone.now())
            shop.save(force_insert=True)
            keep_key(shop, key or PrivateKey.generate())
    except IntegrityError as error:
        raise ShopExists(f"The shop {handle} is here already. Take another code.") from error
    return shop


def _check_code(code: str) -> None:
    if not re.fullmatch(CODE_PATTERN, code, re.ASCII):
        raise InvalidSetting(
            "A shop's code has 1 to 32 lower-case letters, digits and hyphens, and begins and "
            "ends with a letter or a digit.",
            pointer="/code",
        )
    if code == NODE_CODE:
        raise InvalidSetting(
            f"{NODE_CODE} is the code of the node itself. Give the shop another.", pointer="/code"
        )


def _check_label(label: str) -> None:
    if len(label) > LABEL_LENGTH or not label.isprintable():
        raise InvalidSetting(
            f"A label has at most {LABEL_LENGTH} characters, all of them visible.",
            pointer="/label",
        )


def set_practice(*, shop: str, settings: Mapping[str, Any], by: Actor) -> Shop:
    """Set a shop's practice anew, and fold its skis by it.

    Parameters
    ----------
    shop : str
        Handle of the shop.
    settings : mapping
        What differs from the default; what is left out goes back to the default.
    by : Actor
        The operator or the shop.

    Raises
    ------
    NotAllowed, UnknownShop
    InvalidSetting
        The pointer and the sentence name the setting.
    Refused
        If several settings are wrong.
    """
    policies.may_keep_shop(by, shop)
    text = settings_text(read_settings(settings))
    with writing():
        lock_log()
        found = locked_shop(shop)
        found.practice = text
        found.save(update_fields=["practice"])
        refold_shop(found.handle)
    return found


def issue_api_key(
    *,
    shop: str,
    scopes: Iterable[Scope],
    by: Actor,
    lasts: timedelta = DEFAULT_KEY_LIFE,
    now: datetime | None = None,
) -> IssuedKey:
    """Issue an API key; its token is in the answer and nowhere else.

    Parameters
    ----------
    shop : str
        Handle of the shop.
    scopes : iterable of Scope
        At least one.
    by : Actor
        The operator or the shop.
    lasts : timedelta
        How long the key is valid.

    Raises
    ------
    NotAllowed, UnknownShop, InvalidSetting
    KeyLimit
        If two keys of the shop are live: one to use and one to change over to; for peers, 32.
    """
    policies.may_keep_shop(by, shop)
    wanted = frozenset(scopes)
    _check_key(wanted, lasts)
    _check_owner(shop, wanted)
    policies.may_issue(by, wanted)
    now = now or timezone.now()
    secret = new_secret()
    with writing():
        owner = locked_shop(shop)
        _check_live_keys(owner, now)
        ApiKey.objects.create(
            prefix=secret.prefix,
            shop=owner,
            digest=secret.digest,
            scopes=" ".join(sorted(wanted)),
            created_at=now,
            expires_at=now + lasts,
        )
    return IssuedKey(secret.token, secret.prefix, shop, wanted, now + lasts)


def _check_key(scopes: frozenset[Scope], lasts: timedelta) -> None:
    if not scopes:
        raise InvalidSetting(
            "Give the key a scope: read, write, keys, or feed for a peer.", pointer="/scopes"
        )
    if not timedelta(0) < lasts <= LONGEST_KEY_LIFE:
        raise InvalidSetting(
            f"A key is valid for up to {LONGEST_KEY_LIFE.days} days. Give it fewer.",
            pointer="/lasts",
        )


def _check_owner(handle: str, scopes: frozenset[Scope]) -> None:
    """A peer reads the feed and does nothing else; a shop never does."""
    is_node = shop_code(handle) == NODE_CODE
    if scopes != PEER_SCOPES if is_node else not scopes <= SHOP_SCOPES:
        raise InvalidSetting(
            f"The scope feed is for peers, which get it from {NODE_CODE}, and nothing beside it.",
            pointer="/scopes",
        )


def _check_live_keys(shop: Shop, now: datetime) -> None:
    limit = LIVE_PEER_KEYS if shop.code == NODE_CODE else LIVE_KEYS
    if ApiKey.objects.live(now).filter(shop=shop).count() >= limit:
        raise KeyLimit(
            f"{shop.handle} has {limit} live API keys already. Revoke one of them first."
        )


def revoke_api_key(*, prefix: str, by: Actor, now: datetime | None = None) -> ApiKey:
    """Revoke an API key at once; a second time changes nothing.

    Raises
    ------
    NotAllowed
        If the key is another shop's, or there is none with this prefix.
    """
    with writing():
        key: ApiKey | None = ApiKey.objects.select_for_update().filter(prefix=prefix).first()
        if key is None:
            raise NotAllowed("You have no API key with this prefix.", pointer="/prefix")
        policies.may_keep_shop(by, key.shop_id)
        if key.revoked_at is None:
            key.revoked_at = now or timezone.now()
            key.save(update_fields=["revoked_at"])
    return key


def look_up_tag(*, shop: str, tag: str, by: Actor, now: datetime | None = None) -> Tag:
    """Find a tag for someone who holds it; a look at another shop's tag is noted.

    Raises
    ------
    NotAllowed, UnknownTag
    """
    policies.may_read(by)
    found = Tag.objects.find(shop, tag)
    if by.handle and by.handle != found.shop:
        with storage_errors():
            LookUp.objects.create(
                shop_id=by.handle, tag_key=found.key, looked_at=now or timezone.now()
            )
    return found


def register_ski(*, draft: DescriptionDraft, by: Actor, now: datetime | None = None) -> Written:
    """Put a tag on a new ski, with a description.

    Raises
    ------
    TagExists
        If the tag is on a ski already.
    RegistryError
        What `append_records` raises.
    """
    (appended,) = write_drafts(drafts=[draft], by=by, registers=True, now=now)
    return appended


def write_drafts(
    *, drafts: Sequence[Draft], by: Actor, registers: bool = False, now: datetime | None = None
) -> list[Written]:
    """Make records of drafts, sign them with the key that the node keeps, and append them.

    Parameters
    ----------
    drafts : sequence of Draft
        In the order they are to take in the log.
    by : Actor
        The shop that writes.
    registers : bool
        Whether each description among them is meant to put its tag on a new ski.

    Raises
    ------
    NotAllowed
        If the shop keeps its signing key itself.
    RegistryError
        What `append_records` raises.
    """
    policies.may_write(by)
    with writing():
        # The key may be replaced until the log is locked, and then signs no more.
        lock_log()
        key = _kept_key(by.handle)
        documents = _composed(drafts, by.handle, key.key_id)
        signed = [
            Submission(
                data=data,
                signature=key.sign_text(data),
                registers=registers and draft.kind == "description",
            )
            for draft, data in zip(drafts, documents, strict=True)
        ]
        appended = append_records(submissions=signed, by=by, now=now)
    return [one for one in appended if isinstance(one, Written)]


def _kept_key(handle: str) -> PrivateKey:
    kept = KeptKey.objects.kept_for(handle).first()
    if kept is None:
        raise NotAllowed(
            f"The node keeps no signing key for {handle}. Sign your records and hand them in whole."
        )
    return PrivateKey.from_seed(bytes(kept.private))


def _composed(drafts: Sequence[Draft], author: str, key_id: str) -> list[bytes]:
    documents: list[bytes] = []
    errors: list[InvalidSubmission] = []
    for number, draft in enumerate(drafts):
        try:
            documents.append(canonical_bytes(compose(draft, author=author, key=key_id)))
        except InvalidRecord as error:
            errors.append(InvalidSubmission(error.errors, submission=number))
    raise_all(errors)
    return documents
