"""Who may do what; each rule is a sentence that raises with its reason."""

from __future__ import annotations

from django.conf import settings

from apps.records.envelope import DistinctSkiRecord, Record, SameSkiRecord
from apps.records.names import node_handle, node_host
from apps.registry.actors import Actor, Scope
from apps.registry.errors import NotAllowed
from apps.registry.submissions import Entry, SkiEntry

OWN_TAG_KINDS = frozenset({"usage", "status", "pair"})


def only_the_operator(by: Actor) -> None:
    """Shops and their settings are the operator's to keep."""
    if not by.operator:
        raise NotAllowed("Only the operator of the node may do this.")


def may_keep_shop(by: Actor, handle: str) -> None:
    """A shop's keys and practice are kept by the operator or by the shop itself."""
    if by.operator:
        return
    if by.handle != handle:
        raise NotAllowed(f"{by.handle} may not change what belongs to {handle}.")
    may_write(by)


def may_keep_keys(by: Actor, handle: str) -> None:
    """A shop's signing keys are kept by the operator, or by the shop with a credential for it."""
    if by.operator:
        return
    if by.handle != handle:
        raise NotAllowed(f"{by.handle} may not change the keys of {handle}.")
    may_see_keys(by)


def may_see_keys(by: Actor) -> None:
    """Signing keys need a credential of their own, so that a stolen one can't replace them."""
    if Scope.KEYS not in by.scopes:
        raise NotAllowed("This API key keeps no signing keys. Use one with the scope `keys`.")


def may_keep_people(by: Actor, handle: str) -> None:
    """Who works in a shop is kept by the operator, or by an owner of the shop."""
    if by.operator:
        return
    if by.handle != handle:
        raise NotAllowed(f"{by.handle} may not change who works in {handle}.")
    if Scope.KEYS not in by.scopes:
        raise NotAllowed("Only owners of the shop may change who works in it.")


def may_share(by: Actor, handle: str) -> None:
    """A ski is shown to others by the shop whose tag it is, and by somebody who writes there.

    The link reads, so whoever makes it may read too.
    """
    may_write(by)
    may_read(by)
    if by.handle != handle:
        raise NotAllowed(f"Only {handle}, whose tag it is, may make or end a link to this ski.")


def may_issue(by: Actor, scopes: frozenset[Scope]) -> None:
    """A shop passes on only what its own credential allows."""
    more = sorted(scopes - by.scopes)
    if more and not by.operator:
        raise NotAllowed(
            f"{by.handle} came without the scope `{more[0]}` and can't give it to another key.",
            pointer="/scopes",
        )


def may_read(by: Actor) -> None:
    """Reading needs a credential that allows it."""
    if not by.operator and Scope.READ not in by.scopes:
        raise NotAllowed("This API key may only write. Use one with the scope `read`.")


def may_write(by: Actor) -> None:
    """Records are written by shops, with a credential that allows it."""
    if by.operator:
        raise NotAllowed("The operator keeps the node and writes no records. Write as a shop.")
    if Scope.WRITE not in by.scopes:
        raise NotAllowed("This API key may only read. Use one with the scope `write`.")


def may_hand_in(by: Actor, entry: Entry) -> None:
    """A shop and the node write under their own names; a peer brings what others wrote."""
    author = entry.frame.author
    if by.peer:
        _is_of_another_node(by, author)
        return
    own = node_handle(settings.NODE_HOST) if by.node else by.handle
    if author != own:
        raise NotAllowed(
            f"{own} may not write as {author}. Write under your own name.", pointer="/author"
        )


def _is_of_another_node(by: Actor, author: str) -> None:
    """What a shop of this node wrote is here already, or it didn't write it."""
    if node_host(author) == settings.NODE_HOST:
        raise NotAllowed(
            f"{author} writes on this node, where that record is not; {by.peer} can't bring it.",
            pointer="/author",
        )


def may_write_kind(entry: SkiEntry) -> None:
    """Use, status and pairs of a ski are told by the shop whose tag it is."""
    record = entry.record
    if record.kind in OWN_TAG_KINDS and record.author != record.ski.shop:
        raise NotAllowed(
            f"Only {record.ski.shop}, whose tag it is, may write a {record.kind} record on it.",
            pointer="/ski/shop",
        )


def may_link(entry: SkiEntry) -> None:
    """That two tags are on one ski, or on two, is said by the shop of one of them."""
    record = entry.record
    if not isinstance(record, SameSkiRecord | DistinctSkiRecord):
        return
    other = record.body.other_ski.shop
    if record.author not in (record.ski.shop, other):
        shops = " or ".join(dict.fromkeys((record.ski.shop, other)))
        raise NotAllowed(
            f"Only {shops} may link these tags. Link one of your own with either.",
            pointer="/ski/shop",
        )


def may_retag(by: Actor, shop: str) -> None:
    """Another tag is put on a ski by the shop whose tag is on it."""
    if by.handle != shop:
        raise NotAllowed(
            f"Only {shop}, whose tag it is, may put another one on. Register the ski under a tag "
            "of your own and link the two.",
        )


def may_register(record: Record) -> None:
    """A tag is put on a ski by the shop whose tag it is."""
    if record.author != record.ski.shop:
        raise NotAllowed(
            f"Only {record.ski.shop} may register a ski under its tags.", pointer="/ski/shop"
        )
