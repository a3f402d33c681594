"""Index of the links: which tags shops say are on one ski, or on two."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from apps.registry.models.rows import WORD_LENGTH, NumberedRow
from apps.registry.models.ski import KEY_LENGTH

SAYS = ("same", "distinct")


class Link(NumberedRow):
    """One way through a link; each has two rows, so that it is found from either of its tags.

    `by_here` and `by_there` say whether the shop that states it is the one of that tag; both are
    true of a link between two tags of one shop. A tag may not be registered here.
    """

    says = models.CharField(max_length=WORD_LENGTH)
    here = models.CharField(max_length=KEY_LENGTH)
    there = models.CharField(max_length=KEY_LENGTH)
    by_here = models.BooleanField()
    by_there = models.BooleanField()

    class Meta:
        indexes = [models.Index(fields=["here", "there", "says", "by_there"], name="link_by_tags")]
        constraints = [
            models.CheckConstraint(name="link_word", condition=Q(says__in=SAYS)),
            models.CheckConstraint(name="link_of_two", condition=~Q(here=F("there"))),
            models.CheckConstraint(name="link_two_ways", condition=Q(number__in=(0, 1))),
            models.CheckConstraint(
                name="link_by_a_shop_of_its_tags", condition=Q(by_here=True) | Q(by_there=True)
            ),
        ]

    def __str__(self) -> str:
        return f"{self.says} {self.record_id}/{self.number}"
