"""Who may do what; each rule is a sentence that raises with its reason."""

from __future__ import annotations

from apps.records.envelope import Record
from apps.registry.actors import Actor, Scope
from apps.registry.errors import NotAllowed

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


def may_write_as(by: Actor, record: Record) -> None:
    """A shop writes under its own name only."""
    if record.author != by.handle:
        raise NotAllowed(
            f"{by.handle} may not write as {record.author}. Write under your own name.",
            pointer="/author",
        )


def may_write_kind(record: Record) -> None:
    """Use, status and pairs of a ski are told by the shop whose tag it is."""
    if record.kind in OWN_TAG_KINDS and record.author != record.ski.shop:
        raise NotAllowed(
            f"Only {record.ski.shop}, whose tag it is, may write a {record.kind} record on it.",
            pointer="/ski/shop",
        )


def may_register(record: Record) -> None:
    """A tag is put on a ski by the shop whose tag it is."""
    if record.author != record.ski.shop:
        raise NotAllowed(
            f"Only {record.ski.shop} may register a ski under its tags.", pointer="/ski/shop"
        )


def may_amend(record: Record, target: Record) -> None:
    """A record is corrected or taken back by its author only."""
    if record.author != target.author:
        raise NotAllowed(
            f"Only {target.author}, who wrote that record, may write a {record.kind} of it.",
            pointer="/refers_to/0",
        )
