"""A tag that no ski has here, and what may have been meant by it."""

from __future__ import annotations

from dataclasses import dataclass

from apps.records.place import SkiTag
from apps.registry.label_ranges import Standing, check_typed
from apps.registry.naming import short_shop


@dataclass(frozen=True, slots=True)
class Missing:
    """What is known of a tag without a ski.

    Parameters
    ----------
    shop, tag : str
        As addresses name them.
    is_own : bool
        Whether it is a tag of the visitor's shop, so that a ski can be registered under it.
    mistyped : bool
        Whether the check character of the shop's labels doesn't fit.
    issued : bool
        Whether it is a label of the shop that is on no ski yet.
    suggestions : tuple of str
        Tags of the own shop that differ by one slip.
    """

    shop: str
    tag: str
    is_own: bool = False
    mistyped: bool = False
    issued: bool = False
    suggestions: tuple[str, ...] = ()


def missing_ski(ski: SkiTag, *, own: str) -> Missing:
    """Say what may have been meant; nothing is told of other shops' labels.

    Parameters
    ----------
    ski : SkiTag
        The shop and the tag as they were read.
    own : str
        Handle of the visitor's shop.
    """
    if ski.shop != own:
        return Missing(short_shop(ski.shop), ski.tag)
    typed = check_typed(ski.tag, own)
    return Missing(
        short_shop(own),
        typed.tag,
        is_own=True,
        mistyped=typed.standing is Standing.MISTYPED,
        issued=typed.standing is Standing.FITS,
        suggestions=typed.suggestions,
    )
