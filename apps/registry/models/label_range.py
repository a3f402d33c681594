"""The stretches of tags that a shop had printed on labels."""

from __future__ import annotations

from functools import reduce
from operator import or_
from string import digits

from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Length
from django.db.models.lookups import LessThanOrEqual

from apps.records.names import TAG_LENGTH
from apps.registry.models.shop import Shop
from apps.registry.querysets import LabelRangeQuerySet

FEWEST_DIGITS = 3
MOST_DIGITS = 8
MOST_LABELS = 1000
CHECK_LENGTH = 1


def _ends_in_digit() -> Q:
    """The prefix runs into the number, so that another prefix could name the same tag."""
    # No regular expression: SQLite asks Python for those, and other programs then can't check it.
    return reduce(or_, (Q(prefix__endswith=digit) for digit in digits))


def _fits_digits() -> Q:
    """The last number is written with the digits there are."""
    widths = range(FEWEST_DIGITS, MOST_DIGITS + 1)
    return reduce(or_, (Q(digits=width, last__lt=10**width) for width in widths))


class LabelRange(models.Model):
    """Numbers `first` to `last` after one prefix; a check character follows each on its label.

    The prefix never ends in a digit, so two ranges name the same tag only where prefix, digits
    and numbers are the same.
    """

    shop = models.ForeignKey(Shop, on_delete=models.PROTECT, related_name="label_ranges")
    prefix = models.CharField(max_length=TAG_LENGTH)
    first = models.IntegerField()
    last = models.IntegerField()
    digits = models.SmallIntegerField()
    created_at = models.DateTimeField()

    objects = LabelRangeQuerySet.as_manager()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["shop", "prefix", "first"], name="label_range_once"),
            models.CheckConstraint(
                name="label_range_in_order",
                condition=Q(first__gte=1, last__gte=F("first"), last__lt=F("first") + MOST_LABELS),
            ),
            models.CheckConstraint(name="label_range_fits_digits", condition=_fits_digits()),
            models.CheckConstraint(
                name="label_range_tag_length",
                condition=LessThanOrEqual(
                    Length("prefix") + F("digits") + CHECK_LENGTH, TAG_LENGTH
                ),
            ),
            models.CheckConstraint(
                name="label_range_prefix_ends_without_digit",
                condition=Q(prefix__gt="") & ~_ends_in_digit(),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.prefix}{self.first:0{self.digits}d} to {self.last:0{self.digits}d}"
