"""What every index row has: the record it stands for, and what queries select it by.

Numbers with a unit are whole thousandths of that unit: every step of the schema is 0.001 or
coarser, so they are exact, sort as numbers and are never a REAL. The names say it: `_um` for a
thousandth of a millimetre, `_mdeg` for a thousandth of a degree, `_thousandths` elsewhere.
"""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from apps.records.names import HANDLE_LENGTH
from apps.registry.models.record import ID_LENGTH, Record
from apps.registry.models.ski import Tag

WORD_LENGTH = 40
LABEL_LENGTH = 200
EDGE_WORDS = ("left", "right")
MOMENT_WORDS = ("", "before", "after")


class IndexRow(models.Model):
    """A row made from what is in effect of one record.

    `record` is the original; `stated_by` is the record that says it: the original or the
    correction in effect. A retracted record has no rows.
    """

    author = models.CharField(max_length=HANDLE_LENGTH)
    tag = models.ForeignKey(Tag, on_delete=models.DO_NOTHING, related_name="+")
    stated_by = models.CharField(max_length=ID_LENGTH)
    performed_day = models.DateField()

    class Meta:
        abstract = True


class NumberedRow(IndexRow):
    """One of several rows of a record, numbered from 0 in the order of the record."""

    pk = models.CompositePrimaryKey("record_id", "number")
    record = models.ForeignKey(Record, on_delete=models.DO_NOTHING, related_name="+")
    number = models.SmallIntegerField()

    class Meta:
        abstract = True


class SingleRow(IndexRow):
    """The one row of a record."""

    record = models.OneToOneField(
        Record, on_delete=models.DO_NOTHING, primary_key=True, related_name="+"
    )

    class Meta:
        abstract = True


def both_or_neither(first: str, second: str) -> Q:
    """Give the condition that two columns are given together or not at all."""
    neither = Q(**{f"{first}__isnull": True, f"{second}__isnull": True})
    return neither | Q(**{f"{first}__isnull": False, f"{second}__isnull": False})


def absent_or_between(column: str, low: int, high: int) -> Q:
    """Give the condition that a column is absent or within a range, both ends allowed."""
    return Q(**{f"{column}__isnull": True}) | Q(**{f"{column}__gte": low, f"{column}__lte": high})
