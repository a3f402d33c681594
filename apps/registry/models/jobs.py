"""Index of the visits to a bench and of what they found."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q

from apps.registry.models.record import ID_LENGTH
from apps.registry.models.rows import WORD_LENGTH, NumberedRow, SingleRow, both_or_neither

SEVERITIES = ("slight", "moderate", "severe")
FINDING_STATES = ("open", "repaired")


class Job(SingleRow):
    """One visit; `grinds` counts its steps that took the whole base down."""

    technician = models.CharField(max_length=32, blank=True, default="")
    findings = models.SmallIntegerField()
    steps = models.SmallIntegerField()
    grinds = models.SmallIntegerField()
    measurements = models.SmallIntegerField()
    bevel_settings = models.SmallIntegerField()

    class Meta:
        indexes = [models.Index(fields=["tag", "performed_day"], name="job_by_tag")]
        constraints = [
            models.CheckConstraint(
                name="job_grinds_are_steps", condition=Q(grinds__gte=0, grinds__lte=F("steps"))
            ),
        ]

    def __str__(self) -> str:
        return f"job {self.record_id}"


class Finding(NumberedRow):
    """One finding of a job."""

    what = models.CharField(max_length=WORD_LENGTH)
    severity = models.CharField(max_length=WORD_LENGTH)
    state = models.CharField(max_length=WORD_LENGTH)
    edge = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    surface = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    station = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    position_mm = models.SmallIntegerField(null=True)
    length_mm = models.SmallIntegerField(null=True)
    depth_um = models.IntegerField(null=True)
    width_um = models.IntegerField(null=True)
    closes_record = models.CharField(max_length=ID_LENGTH, null=True)  # noqa: DJ001 - with closes_number
    closes_number = models.SmallIntegerField(null=True)

    class Meta:
        indexes = [models.Index(fields=["tag", "state"], name="finding_by_tag")]
        constraints = [
            models.CheckConstraint(name="finding_severity", condition=Q(severity__in=SEVERITIES)),
            models.CheckConstraint(name="finding_state", condition=Q(state__in=FINDING_STATES)),
            models.CheckConstraint(
                name="finding_closes_whole",
                condition=both_or_neither("closes_record", "closes_number"),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.what} {self.record_id}/{self.number}"
