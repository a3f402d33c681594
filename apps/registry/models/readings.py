"""Index of what was measured and of the bevels that were set, measured or specified."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from apps.registry.models.rows import (
    EDGE_WORDS,
    LABEL_LENGTH,
    MOMENT_WORDS,
    WORD_LENGTH,
    NumberedRow,
    absent_or_between,
    both_or_neither,
)

BASES = ("set", "measured", "specified")
MOST_BASE_MDEG = 5_000
MOST_SIDE_MDEG = 10_000


class Measurement(NumberedRow):
    """One measured quantity, in a job or by itself.

    Profiles and traces have no `value_thousandths`: they are read from the record's bytes.
    """

    kind = models.CharField(max_length=WORD_LENGTH)
    quantity = models.CharField(max_length=WORD_LENGTH)
    value_thousandths = models.BigIntegerField(null=True)
    uncertainty_thousandths = models.BigIntegerField(null=True)
    not_measured = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    edge = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    surface = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    station = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    position_mm = models.SmallIntegerField(null=True)
    instrument = models.CharField(max_length=LABEL_LENGTH, blank=True, default="")
    moment = models.CharField(max_length=WORD_LENGTH, blank=True, default="")

    class Meta:
        indexes = [
            models.Index(fields=["author", "quantity", "performed_day"], name="measurement_own"),
            models.Index(fields=["tag", "quantity"], name="measurement_by_tag"),
        ]
        constraints = [
            models.CheckConstraint(
                name="measurement_measured_or_not",
                condition=Q(not_measured="") | Q(value_thousandths__isnull=True),
            ),
            models.CheckConstraint(
                name="measurement_uncertainty_from_zero",
                condition=Q(uncertainty_thousandths__isnull=True)
                | Q(uncertainty_thousandths__gte=0),
            ),
            models.CheckConstraint(
                name="measurement_edge", condition=Q(edge__in=("", *EDGE_WORDS))
            ),
            models.CheckConstraint(name="measurement_moment", condition=Q(moment__in=MOMENT_WORDS)),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} {self.record_id}/{self.number}"


class BevelSetting(NumberedRow):
    """One statement of bevels, in a job or by itself."""

    kind = models.CharField(max_length=WORD_LENGTH)
    edge = models.CharField(max_length=WORD_LENGTH)
    base_bevel_mdeg = models.IntegerField(null=True)
    side_bevel_mdeg = models.IntegerField(null=True)
    facet_width_um = models.IntegerField(null=True)
    station_from_mm = models.SmallIntegerField(null=True)
    station_to_mm = models.SmallIntegerField(null=True)
    basis = models.CharField(max_length=WORD_LENGTH)
    moment = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    uncertainty_mdeg = models.IntegerField(null=True)

    class Meta:
        indexes = [models.Index(fields=["tag", "performed_day"], name="bevel_setting_by_tag")]
        constraints = [
            models.CheckConstraint(
                name="bevel_setting_has_a_bevel",
                condition=Q(base_bevel_mdeg__isnull=False) | Q(side_bevel_mdeg__isnull=False),
            ),
            models.CheckConstraint(
                name="bevel_setting_ranges",
                condition=absent_or_between("base_bevel_mdeg", 0, MOST_BASE_MDEG)
                & absent_or_between("side_bevel_mdeg", 0, MOST_SIDE_MDEG),
            ),
            models.CheckConstraint(
                name="bevel_setting_edge", condition=Q(edge__in=(*EDGE_WORDS, "both"))
            ),
            models.CheckConstraint(name="bevel_setting_basis", condition=Q(basis__in=BASES)),
            models.CheckConstraint(
                name="bevel_setting_moment_of_measured",
                condition=Q(moment="") | Q(moment__in=MOMENT_WORDS, basis="measured"),
            ),
            models.CheckConstraint(
                name="bevel_setting_whole_stretch",
                condition=both_or_neither("station_from_mm", "station_to_mm"),
            ),
        ]

    def __str__(self) -> str:
        return f"bevel {self.record_id}/{self.number}"
