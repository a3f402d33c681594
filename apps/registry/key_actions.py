"""How signing keys begin, are replaced and end: each change is a record of the log."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime

from apps.records.names import NODE_CODE
from apps.records.signing import PrivateKey, PublicKey
from apps.registry import policies
from apps.registry.actors import Actor
from apps.registry.door import lock_log
from apps.registry.errors import KeyLimit, RegistryError, UnknownKey, WrongState
from apps.registry.identity import (
    NodeWord,
    key_word,
    node_key,
    shop_key_word,
    write_as_node,
)
from apps.registry.locking import locked_shop
from apps.registry.models import KeptKey, Shop, SigningKey
from apps.registry.storage import writing

LIVE_SHOP_KEYS = 2


@dataclass(frozen=True, slots=True)
class KeyEnd:
    """Why a key ends: one of the closed list, with a text for `other`."""

    reason: str = "rotated"
    reason_text: str | None = None

    def word(self, shop: str, key_id: str) -> NodeWord:
        """Word the record that ends a key."""
        body = {"shop": shop, "key": key_id, "reason": self.reason}
        if self.reason_text is not None:
            body["reason_text"] = self.reason_text
        return NodeWord("key-end", body)


ROTATED = KeyEnd()


def keep_key(shop: Shop, key: PrivateKey, *, now: datetime | None = None) -> SigningKey:
    """Keep a key for a shop, and bring it into the log."""
    KeptKey.objects.create(key_id=key.key_id, shop=shop, private=key.seed)
    write_as_node(key_word(key, shop.handle), now=now)
    return SigningKey.objects.get(key_id=key.key_id)


def replace_signing_key(
    *, shop: str, by: Actor, key: PrivateKey | None = None, now: datetime | None = None
) -> SigningKey:
    """End the key that the node keeps for a shop at this place of the log, and keep a new one.

    What the old key signed up to here stands; what it signs from here on is refused, whatever
    date it bears.

    Parameters
    ----------
    shop : str
        Handle of the shop, or of the node itself.
    by : Actor
        The operator or the shop.
    key : PrivateKey, optional
        The key to keep from now on; a new random one when absent.

    Raises
    ------
    NotAllowed, UnknownShop
    """
    policies.may_keep_keys(by, shop)
    new = key or PrivateKey.generate()
    with writing():
        lock_log()
        found = locked_shop(shop)
        if found.code == NODE_CODE:
            return _replace_own(found, new, now)
        _end_kept(shop, ROTATED, now)
        return keep_key(found, new, now=now)


def _replace_own(node: Shop, new: PrivateKey, now: datetime | None) -> SigningKey:
    """The old key brings the new one in, and the new one ends it."""
    old = node_key()
    KeptKey.objects.kept_for(node.handle).delete()
    KeptKey.objects.create(key_id=new.key_id, shop=node, private=new.seed)
    write_as_node(key_word(new, node.handle), key=old, now=now)
    write_as_node(ROTATED.word(node.handle, old.key_id), now=now)
    return SigningKey.objects.get(key_id=new.key_id)


def _end_kept(shop: str, end: KeyEnd, now: datetime | None) -> None:
    """End the key that the node keeps for a shop, if it keeps one."""
    kept = KeptKey.objects.kept_for(shop).first()
    if kept is not None:
        write_as_node(end.word(shop, kept.key_id), now=now)
        kept.delete()


def register_key(
    *, shop: str, public: str, proof: str, by: Actor, now: datetime | None = None
) -> SigningKey:
    """Bring a key into the log that a shop keeps itself; the node signs for it no more.

    Parameters
    ----------
    shop : str
        Handle of the shop.
    public : str
        The Ed25519 key, base64url, 43 characters.
    proof : str
        Signature by this key over the shop's handle, as `apps.records.key_proof.prove` makes it.
    by : Actor
        The operator, or the shop with a credential that keeps keys.

    Raises
    ------
    NotAllowed, UnknownShop, InvalidRecord
    WrongState
        If the key was registered before.
    BadSignature
        If the proof doesn't hold.
    KeyLimit
        If two keys that the shop keeps are live: one to use and one to change over to.
    """
    policies.may_keep_keys(by, shop)
    with writing(), of_body():
        lock_log()
        locked_shop(shop)
        _check_live_keys(shop)
        write_as_node(shop_key_word(public, shop, held_by="shop", proof=proof), now=now)
        _end_kept(shop, ROTATED, now)
        return SigningKey.objects.get(key_id=PublicKey.from_text(public).key_id)


@contextmanager
def of_body() -> Iterator[None]:
    """Let refusals point into what the caller gave, of which the record makes its body."""
    try:
        yield
    except RegistryError as error:
        error.pointer = error.pointer.removeprefix("/body")
        raise


def _check_live_keys(shop: str) -> None:
    own = SigningKey.objects.of_author(shop).live().filter(held_by="shop")
    if own.count() >= LIVE_SHOP_KEYS:
        raise KeyLimit(
            f"{shop} keeps {LIVE_SHOP_KEYS} live signing keys already. End one of them first."
        )


def end_key(
    *, shop: str, key_id: str, end: KeyEnd, by: Actor, now: datetime | None = None
) -> SigningKey:
    """End a key of a shop at this place of the log.

    Parameters
    ----------
    shop : str
        Handle of the shop.
    key_id : str
        Id of the key, kept by the shop or by the node.
    end : KeyEnd
        Why it ends.
    by : Actor
        The operator, or the shop with a credential that keeps keys.

    Raises
    ------
    NotAllowed, UnknownShop, InvalidRecord
    UnknownKey
        If the shop has no such key.
    WrongState
        If it ended before, or is the node's own, which is only replaced.
    """
    policies.may_keep_keys(by, shop)
    with writing(), of_body():
        lock_log()
        if locked_shop(shop).code == NODE_CODE:
            raise WrongState("The node's own key is replaced, and ends with that.")
        if not SigningKey.objects.of_author(shop).filter(key_id=key_id).exists():
            raise UnknownKey(f"{shop} has no signing key {key_id}.")
        write_as_node(end.word(shop, key_id), now=now)
        KeptKey.objects.filter(key_id=key_id).delete()
        return SigningKey.objects.get(key_id=key_id)
