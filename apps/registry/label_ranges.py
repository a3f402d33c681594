"""Tags issued for labels, a stretch at a time, and what is wrong with a tag that was mistyped."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from django.utils import timezone

from apps.records.check_character import ALPHABET, check_character, check_character_fits
from apps.records.names import TAG_LENGTH, TAG_PATTERN
from apps.registry import policies
from apps.registry.actors import Actor
from apps.registry.errors import InvalidSetting, WrongState
from apps.registry.locking import locked_shop
from apps.registry.models import LabelRange, Tag
from apps.registry.models.label_range import (
    CHECK_LENGTH,
    FEWEST_DIGITS,
    MOST_DIGITS,
    MOST_LABELS,
)
from apps.registry.storage import writing

USUAL_DIGITS = 4
MOST_SUGGESTIONS = 3
_PREFIX = re.compile(r"[A-Z0-9][A-Z0-9._-]*", re.ASCII)

NO_PREFIX = (
    "A prefix holds A to Z, 0 to 9, full stop, low line and hyphen; it begins with a letter or a "
    "digit and doesn't end in a digit."
)


class Standing(StrEnum):
    """What a typed tag is to the labels of a shop."""

    FITS = "fits"
    MISTYPED = "mistyped"
    NOT_OF_A_RANGE = "not-of-a-range"


@dataclass(frozen=True, slots=True)
class TypedTag:
    """What is known of a tag that somebody typed.

    Parameters
    ----------
    tag : str
        In capitals.
    standing : Standing
        `fits`: such a label was issued, and its check character is right. `mistyped`: it is
        written like one and is none. `not-of-a-range`: no label of the shop looks like that.
    is_registered : bool
        Whether a ski of the shop has it.
    suggestions : tuple of str
        Up to three tags on skis of the shop that differ by one character or by one swap of
        neighbours; none where a ski has the tag that was typed, or a label fits it.
    """

    tag: str
    standing: Standing
    is_registered: bool
    suggestions: tuple[str, ...] = ()


def issue_range(
    *,
    prefix: str,
    count: int,
    by: Actor,
    digits: int | None = None,
    now: datetime | None = None,
) -> LabelRange:
    """Issue the next tags after a prefix, which no label of the shop had and no ski has.

    Parameters
    ----------
    prefix : str
        What stands before the number; small letters are made capitals.
    count : int
        How many tags, 1 to 1000.
    by : Actor
        The shop, with a credential that writes.
    digits : int, optional
        How many digits the number has, 3 to 8; it stays so for this prefix. 4 when absent.

    Raises
    ------
    NotAllowed, UnknownShop, InvalidSetting
    WrongState
        If the prefix has other digits already, or not so many numbers left.
    """
    policies.may_write(by)
    capitals = prefix.strip().upper()
    _check_count(count)
    with writing():
        shop = locked_shop(by.handle)
        issued = LabelRange.objects.of_shop(shop.handle).filter(prefix=capitals)
        width = _digits_of(capitals, digits, issued)
        _check_prefix(capitals, width)
        after = max((one.last for one in issued), default=0)
        fresh = LabelRange(
            shop=shop, prefix=capitals, digits=width, created_at=now or timezone.now()
        )
        _find_free(fresh, after + 1, count)
        fresh.save(force_insert=True)
    return fresh


def tags_of(labels: LabelRange) -> tuple[str, ...]:
    """Give the tags of a range, each with its check character, in order."""
    return tuple(_tag(labels, number) for number in range(labels.first, labels.last + 1))


def check_typed(tag: str, shop: str) -> TypedTag:
    """Say what a tag that somebody typed is to the labels and the skis of a shop.

    Two queries, and one more where a suggestion is looked for.

    Parameters
    ----------
    tag : str
        As it was typed; blanks around it and small letters are mended.
    shop : str
        Handle of the shop.
    """
    typed = tag.strip().upper()
    standing = _standing(typed, LabelRange.objects.of_shop(shop))
    registered = Tag.objects.of_shop(shop)
    is_registered = registered.filter(tag=typed).exists()
    if is_registered or standing is Standing.FITS:
        return TypedTag(typed, standing, is_registered)
    near = registered.filter(tag__in=_near(typed)).order_by("tag").values_list("tag", flat=True)
    return TypedTag(typed, standing, is_registered, tuple(near[:MOST_SUGGESTIONS]))


def issued_among(tags: Iterable[str], shop: str) -> frozenset[str]:
    """Give those of some tags that a shop issued, which so end in their check character: one query.

    Parameters
    ----------
    tags : iterable of str
        In capitals.
    shop : str
        Handle of the shop.
    """
    ranges = list(LabelRange.objects.of_shop(shop))
    return frozenset(tag for tag in tags if _standing(tag, ranges) is Standing.FITS)


def ends_of(labels: LabelRange) -> tuple[str, str]:
    """Give the first and the last tag of a range."""
    return _tag(labels, labels.first), _tag(labels, labels.last)


def _check_count(count: int) -> None:
    if not 1 <= count <= MOST_LABELS:
        raise InvalidSetting(f"Issue 1 to {MOST_LABELS} tags in one go.", pointer="/count")


def _digits_of(prefix: str, wanted: int | None, issued: Iterable[LabelRange]) -> int:
    """Give the digits that a prefix has, or gets now."""
    standing = next((one.digits for one in issued), None)
    if standing is not None and wanted not in (None, standing):
        raise WrongState(
            f"Tags after {prefix} have {standing} digits. Leave it so, or take another prefix.",
            pointer="/digits",
        )
    digits = next(one for one in (standing, wanted, USUAL_DIGITS) if one is not None)
    if not FEWEST_DIGITS <= digits <= MOST_DIGITS:
        raise InvalidSetting(
            f"A number has {FEWEST_DIGITS} to {MOST_DIGITS} digits.", pointer="/digits"
        )
    return digits


def _check_prefix(prefix: str, digits: int) -> None:
    if not _PREFIX.fullmatch(prefix) or prefix[-1].isdigit():
        raise InvalidSetting(NO_PREFIX, pointer="/prefix")
    longest = TAG_LENGTH - digits - CHECK_LENGTH
    if len(prefix) > longest:
        raise InvalidSetting(
            f"Before {digits} digits a prefix has at most {longest} characters.",
            pointer="/prefix",
        )


def _find_free(labels: LabelRange, first: int, count: int) -> None:
    """Set the lowest numbers from one on of which no ski has a tag."""
    registered = Tag.objects.of_shop(labels.shop_id)
    while True:
        labels.first, labels.last = first, first + count - 1
        _check_room(labels)
        numbers = dict(zip(tags_of(labels), range(first, labels.last + 1), strict=True))
        taken = registered.filter(tag__in=numbers).values_list("tag", flat=True)
        if not taken:
            return
        first = max(numbers[tag] for tag in taken) + 1


def _check_room(labels: LabelRange) -> None:
    highest = 10**labels.digits - 1
    if labels.last > highest:
        raise WrongState(
            f"After {labels.prefix} there are not so many numbers left. Take another prefix.",
            pointer="/prefix",
        )


def _tag(labels: LabelRange, number: int) -> str:
    body = f"{labels.prefix}{number:0{labels.digits}d}"
    return body + check_character(body)


def _standing(typed: str, ranges: Iterable[LabelRange]) -> Standing:
    alike = [one for one in ranges if _is_written_like(typed, one)]
    if not alike:
        return Standing.NOT_OF_A_RANGE
    issued = any(_is_issued(typed, one) for one in alike)
    return Standing.FITS if issued else Standing.MISTYPED


def _is_written_like(typed: str, labels: LabelRange) -> bool:
    length = len(labels.prefix) + labels.digits + CHECK_LENGTH
    return len(typed) == length and typed.startswith(labels.prefix) and is_tag(typed)


def is_tag(typed: str) -> bool:
    """Say whether a text can be a tag at all."""
    return re.fullmatch(TAG_PATTERN, typed, re.ASCII) is not None


def _is_issued(typed: str, labels: LabelRange) -> bool:
    number = typed[len(labels.prefix) : -CHECK_LENGTH]
    is_within = number.isdecimal() and labels.first <= int(number) <= labels.last
    return is_within and check_character_fits(typed)


def _near(typed: str) -> set[str]:
    """Give what differs by one character or by one swap of neighbours and can be a tag."""
    if not is_tag(typed):
        return set()
    places = range(len(typed))
    changed = {typed[:place] + other + typed[place + 1 :] for place in places for other in ALPHABET}
    swapped = {
        typed[:place] + typed[place + 1] + typed[place] + typed[place + 2 :]
        for place in places[:-1]
    }
    return (changed | swapped) - {typed}
