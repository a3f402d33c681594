"""The folded state of each ski, with the columns that the fleet views sort by."""

from __future__ import annotations

from django.db import models
from django.db.models import Q

from apps.registry.models.jobs import SEVERITIES
from apps.registry.models.keeping import STATUSES
from apps.registry.models.rows import WORD_LENGTH, both_or_neither
from apps.registry.models.ski import Ski
from apps.registry.querysets import ConditionQuerySet


class Condition(models.Model):
    """One row a ski, folded from its records as of `folded_on`, the day of the last of them.

    `state` is the whole folded state as canonical JSON. A column without a value is unknown, not
    zero. Days since something are not kept: they change overnight, so a read computes them.
    `edge_height_least_um` is the lower of both edges and `services_left_low` the cautious end of
    the interval, because a plan must hold for the worse of both.
    """

    ski = models.OneToOneField(
        Ski, on_delete=models.DO_NOTHING, primary_key=True, related_name="condition"
    )
    state = models.TextField()
    folded_on = models.DateField()
    edge_height_least_um = models.IntegerField(null=True)
    edge_height_uncertainty_um = models.IntegerField(null=True)
    base_thickness_um = models.IntegerField(null=True)
    base_thickness_uncertainty_um = models.IntegerField(null=True)
    services_left_low = models.IntegerField(null=True)
    base_bevel_standing = models.CharField(max_length=WORD_LENGTH)
    side_bevel_standing = models.CharField(max_length=WORD_LENGTH)
    open_findings = models.IntegerField(default=0)
    worst_severity = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    grinds = models.IntegerField(default=0)
    jobs = models.IntegerField(default=0)
    last_job_day = models.DateField(null=True)
    days_in_use = models.IntegerField(null=True)
    status = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    warnings = models.IntegerField(default=0)

    objects = ConditionQuerySet.as_manager()

    class Meta:
        indexes = [
            models.Index(fields=["edge_height_least_um"], name="condition_by_edge_height"),
            models.Index(fields=["last_job_day"], name="condition_by_last_job"),
        ]
        constraints = [
            models.CheckConstraint(
                name="condition_severity",
                condition=Q(open_findings=0, worst_severity="")
                | Q(open_findings__gt=0, worst_severity__in=SEVERITIES),
            ),
            models.CheckConstraint(
                name="condition_status", condition=Q(status__in=("", *STATUSES))
            ),
            models.CheckConstraint(
                name="condition_last_job_of_jobs",
                condition=Q(jobs=0, last_job_day__isnull=True)
                | Q(jobs__gt=0, last_job_day__isnull=False),
            ),
            models.CheckConstraint(
                name="condition_base_with_uncertainty",
                condition=both_or_neither("base_thickness_um", "base_thickness_uncertainty_um"),
            ),
            models.CheckConstraint(
                name="condition_edge_with_uncertainty",
                condition=both_or_neither("edge_height_least_um", "edge_height_uncertainty_um"),
            ),
        ]

    def __str__(self) -> str:
        return f"condition of {self.ski_id}"
