"""Index of what skis are by their descriptions, and of what benches state of them, to be pooled."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.db.models.functions import Length
from django.db.models.lookups import Exact

from apps.records.names import HANDLE_LENGTH
from apps.registry.models.rows import WORD_LENGTH, absent_or_between
from apps.registry.models.ski import Ski
from apps.tuning.model_text import MOST_CHARACTERS

TEXT_LENGTH = 2 * MOST_CHARACTERS + 1
VARIANT_LENGTH = 32
SOURCES = ("set", "measured", "specified", "described", "first_seen", "stated", "readings")


class Likeness(models.Model):
    """One row a ski: what all its descriptions say together, as far as likeness goes by it.

    `text` is maker and model made comparable, with a slash between them; "" without a model.
    `variant` digests all columns beside it: skis that are described alike share it, so that each
    description is compared once, however many skis have it.
    """

    ski = models.OneToOneField(
        Ski, on_delete=models.DO_NOTHING, primary_key=True, related_name="likeness"
    )
    text = models.CharField(max_length=TEXT_LENGTH, blank=True, default="")
    year = models.SmallIntegerField(null=True)
    length_mm = models.SmallIntegerField(null=True)
    construction = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    use = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    waist_width_um = models.IntegerField(null=True)
    variant = models.CharField(max_length=VARIANT_LENGTH)

    class Meta:
        indexes = [models.Index(fields=["text", "length_mm"], name="likeness_by_text")]
        constraints = [
            models.CheckConstraint(
                name="likeness_variant_length",
                condition=Exact(Length("variant"), VARIANT_LENGTH),
            ),
            models.CheckConstraint(
                name="likeness_year", condition=absent_or_between("year", 1930, 2100)
            ),
        ]

    def __str__(self) -> str:
        return f"likeness of {self.ski_id}"


class ModelKey(models.Model):
    """One of the keys by which a text of maker and model is found though it is misspelt.

    A text has keys as long as some ski has it, whatever the number of such skis.
    """

    pk = models.CompositePrimaryKey("key", "text")
    key = models.CharField(max_length=MOST_CHARACTERS)
    text = models.CharField(max_length=TEXT_LENGTH)

    class Meta:
        indexes = [models.Index(fields=["text"], name="model_key_by_text")]

    def __str__(self) -> str:
        return f"{self.key} of {self.text}"


class LikeValue(models.Model):
    """What one shop states of one ski in one respect, in thousandths of its unit.

    `place` is the edge, "" where there is none; `operation` is what took material off. Only skis
    with a model have such rows, since no other is found.
    """

    pk = models.CompositePrimaryKey("ski_id", "author", "what", "source", "operation", "place")
    ski = models.ForeignKey(
        Ski, on_delete=models.DO_NOTHING, related_name="like_values", db_index=False
    )
    author = models.CharField(max_length=HANDLE_LENGTH)
    what = models.CharField(max_length=WORD_LENGTH)
    source = models.CharField(max_length=WORD_LENGTH)
    operation = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    place = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    value_thousandths = models.IntegerField()
    variant = models.CharField(max_length=VARIANT_LENGTH)

    class Meta:
        indexes = [models.Index(fields=["variant", "what", "source"], name="like_value_by_variant")]
        constraints = [
            models.CheckConstraint(name="like_value_source", condition=Q(source__in=SOURCES)),
        ]

    def __str__(self) -> str:
        return f"{self.what} {self.source} of {self.ski_id}"
