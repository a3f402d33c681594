"""What the readings and the use of each ski come down to, as the outlook of a fleet reads it."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q, Value
from django.db.models.functions import Concat, StrIndex
from django.db.models.lookups import Exact

from apps.records.names import HANDLE_LENGTH
from apps.registry.models.rows import WORD_LENGTH, both_or_neither
from apps.registry.models.ski import Ski

QUANTITIES = ("edge_height", "edge_width", "base_thickness")


class Wear(models.Model):
    """One row a ski and quantity; the columns are the fields of `tuning.WearStatistics`.

    They stand apart from `Condition` because an outlook reads all rows of a fleet at once. A ski
    without readings has its rows too, with zeroes and an unknown level, so that it is counted.
    `in_fleet` is false for a ski that is retired, sold or missing: it wears no further.
    """

    pk = models.CompositePrimaryKey("ski_id", "quantity")
    ski = models.ForeignKey(Ski, on_delete=models.DO_NOTHING, related_name="+")
    quantity = models.CharField(max_length=WORD_LENGTH)
    shop = models.CharField(max_length=HANDLE_LENGTH)
    in_fleet = models.BooleanField()
    readings = models.IntegerField()
    intervals = models.IntegerField()
    services = models.IntegerField()
    removed_um = models.IntegerField()
    scatter_um2 = models.BigIntegerField()
    scatter_of_readings_um2 = models.BigIntegerField()
    readings_variance_um2 = models.BigIntegerField()
    level_um = models.IntegerField(null=True)
    level_variance_um2 = models.BigIntegerField(null=True)
    shared_variance_um2 = models.BigIntegerField()
    services_since = models.IntegerField()
    spans = models.IntegerField()
    span_days = models.IntegerField()
    span_squares = models.BigIntegerField()
    days_since = models.IntegerField()
    seasons = models.IntegerField()
    season_days = models.IntegerField()
    season_squares = models.BigIntegerField()

    class Meta:
        indexes = [models.Index(fields=["shop", "quantity", "in_fleet"], name="wear_of_shop")]
        constraints = [
            models.CheckConstraint(
                name="wear_of_the_shop_in_the_key",
                condition=Exact(StrIndex(F("ski"), Concat(F("shop"), Value("/"))), 1),
            ),
            models.CheckConstraint(name="wear_quantity", condition=Q(quantity__in=QUANTITIES)),
            models.CheckConstraint(
                name="wear_level_with_variance",
                condition=both_or_neither("level_um", "level_variance_um2"),
            ),
            models.CheckConstraint(
                name="wear_counts_from_zero",
                condition=Q(readings__gte=0, intervals__gte=0, services__gte=0, spans__gte=0),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} of {self.ski_id}"
