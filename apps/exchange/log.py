"""The log as others see it: its checkpoint, signed by the node and vouched for by its peers."""

from __future__ import annotations

from collections.abc import Iterator

from django.conf import settings

from apps.exchange.models import Cosignature
from apps.records.checkpoint import Checkpoint, log_origin
from apps.registry import tree
from apps.registry.identity import node_key


def checkpoint(size: int | None = None) -> Checkpoint:
    """Give the checkpoint of the log, as it is or as it was at some size; not signed yet.

    Raises
    ------
    UnknownPlace
        If the log is shorter.
    """
    at = tree.log_size() if size is None else size
    return Checkpoint(log_origin(settings.NODE_HOST), at, tree.root(at))


def checkpoint_text(size: int | None = None) -> str:
    """Give the signed checkpoint of the log, as it is or as it was at some size.

    Returns
    -------
    str
        A signed note (C2SP tlog-checkpoint). Below the node's own signature stand the
        cosignatures of the peers that saw exactly this checkpoint.

    Raises
    ------
    UnknownPlace
        If the log is shorter.
    """
    stated = checkpoint(size)
    signed = stated.signed(node_key()).data.decode()
    return signed + "".join(f"{line}\n" for line in _cosignatures(stated))


def _cosignatures(stated: Checkpoint) -> Iterator[str]:
    of_this = Cosignature._default_manager.filter(size=stated.size, root=stated.root.hex())
    return of_this.order_by("witness").values_list("line", flat=True).iterator()
