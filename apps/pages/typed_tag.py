"""The tag in what a person typed or a scanner sent: a tag, shop/tag, or the address on a label."""

from __future__ import annotations

from urllib.parse import SplitResult, unquote, urlsplit

from apps.records.place import SkiTag
from apps.registry.errors import UnknownTag
from apps.registry.naming import ski_named


class NoTagInAddress(UnknownTag):
    """The address is not one that stands on a label."""


def read_typed(text: str, *, own: str, host: str) -> SkiTag:
    """Read which ski is meant.

    Parameters
    ----------
    text : str
        Such as `FB-0042`, `fellbench/FB-0042` or `https://node.example/t/fellbench/FB-0042`.
    own : str
        Handle of the shop whose tag it is where none is named.
    host : str
        Host by which this node was asked, with its port; a label of another host names a shop
        of the node there.

    Raises
    ------
    UnknownTag
        If it can't be a tag; `NoTagInAddress` for another address.
    """
    typed = text.strip()
    if "://" in typed:
        shop, tag = _of_label(_address(typed), host)
    else:
        shop, _, tag = typed.rpartition("/")
    return ski_named(shop.strip() or own, tag.strip())


def _address(text: str) -> SplitResult:
    try:
        return urlsplit(text)
    except ValueError as error:
        raise NoTagInAddress("This is no address.") from error


def _of_label(address: SplitResult, host: str) -> tuple[str, str]:
    root, _, rest = address.path.lstrip("/").partition("/")
    shop, _, tag = rest.rstrip("/").partition("/")
    if root != "t" or not shop or not tag or "/" in tag:
        raise NoTagInAddress("This address is not that of a ski's label.")
    handle, tag = unquote(shop), unquote(tag)
    is_here = address.netloc.casefold() == host.casefold()
    if "@" not in handle and not is_here:
        handle = f"{handle}@{address.hostname or ''}"
    return handle, tag
