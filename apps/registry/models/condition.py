"""The folded state of each ski, with the columns that the fleet views sort and select by."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q, Value
from django.db.models.functions import Concat, StrIndex
from django.db.models.lookups import Exact

from apps.records.names import HANDLE_LENGTH
from apps.registry.models.jobs import SEVERITIES
from apps.registry.models.keeping import STATUSES
from apps.registry.models.record import ID_LENGTH
from apps.registry.models.rows import WORD_LENGTH, both_or_neither
from apps.registry.models.ski import Ski
from apps.registry.querysets import ConditionQuerySet

BASES = ("readings", "practice", "readings less practice")


def unknown_or_between_limits(value: str, low: str, high: str, basis: str) -> Q:
    """Give the condition that a figure has limits around it and a basis, or is unknown."""
    # A check passes where it comes out as NULL, so what must be there is said to be.
    known, unknown = (
        Q(**{f"{name}__isnull": absent for name in (value, low, high)}) for absent in (False, True)
    )
    around = Q(**{f"{low}__lte": F(value), f"{high}__gte": F(value), f"{basis}__in": BASES})
    return (unknown & Q(**{basis: ""})) | (known & around)


class Condition(models.Model):
    """One row a ski, folded from its records as of `folded_on`, the day of the last of them.

    `state` is the whole folded state as canonical JSON. A column without a value is unknown, not
    zero. Days since something are not kept: they change overnight, so a read computes them.
    `edge_height_least_um` is the lower of both edges and `services_left_low` the cautious end of
    the interval, because a plan must hold for the worse of both. The days on which the ski is due
    follow from the records and the practice of its shop; they don't depend on today. `shop` is
    the shop whose tag gives the ski its key, and with it the fleet that the ski is in.
    `use_season_day` numbers the day of the last report of use by the calendar of the shop's
    season, and `days_out_per_1000` is how often the ski is out in a thousand days of it.
    """

    ski = models.OneToOneField(
        Ski, on_delete=models.DO_NOTHING, primary_key=True, related_name="condition"
    )
    shop = models.CharField(max_length=HANDLE_LENGTH)
    folded_on = models.DateField()
    first_day = models.DateField()
    edge_height_least_um = models.IntegerField(null=True)
    edge_height_uncertainty_um = models.IntegerField(null=True)
    edge_height_low_um = models.IntegerField(null=True)
    edge_height_high_um = models.IntegerField(null=True)
    edge_height_basis = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    edge_width_least_um = models.IntegerField(null=True)
    edge_width_low_um = models.IntegerField(null=True)
    edge_width_high_um = models.IntegerField(null=True)
    edge_width_basis = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    base_thickness_um = models.IntegerField(null=True)
    base_thickness_uncertainty_um = models.IntegerField(null=True)
    base_thickness_low_um = models.IntegerField(null=True)
    base_thickness_high_um = models.IntegerField(null=True)
    base_thickness_basis = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    services_left = models.IntegerField(null=True)
    services_left_low = models.IntegerField(null=True)
    services_left_high = models.IntegerField(null=True)
    base_bevel_standing = models.CharField(max_length=WORD_LENGTH)
    side_bevel_standing = models.CharField(max_length=WORD_LENGTH)
    open_findings = models.IntegerField(default=0)
    worst_severity = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    worst_finding_day = models.DateField(null=True)
    worst_finding = models.CharField(max_length=ID_LENGTH, blank=True, default="")
    grinds = models.IntegerField(default=0)
    jobs = models.IntegerField(default=0)
    last_job_day = models.DateField(null=True)
    last_job = models.CharField(max_length=ID_LENGTH, blank=True, default="")
    days_in_use = models.IntegerField(null=True)
    days_out_since_job_low = models.IntegerField(null=True)
    days_out_since_job_high = models.IntegerField(null=True)
    days_out_per_1000 = models.IntegerField(null=True)
    last_use_day = models.DateField(null=True)
    last_use = models.CharField(max_length=ID_LENGTH, blank=True, default="")
    use_season_day = models.IntegerField(null=True)
    status = models.CharField(max_length=WORD_LENGTH, blank=True, default="")
    warnings = models.IntegerField(default=0)
    due_on = models.DateField(null=True)
    due_by_use = models.DateField(null=True)
    due_by_use_earliest = models.DateField(null=True)
    due_by_use_latest = models.DateField(null=True)
    due_by_date = models.DateField(null=True)
    due_by_finding = models.DateField(null=True)
    # Last, because SQLite walks through a long text to reach the columns behind it.
    state = models.TextField()

    objects = ConditionQuerySet.as_manager()

    class Meta:
        indexes = [
            models.Index(fields=["shop", "ski"], name="condition_of_shop"),
            models.Index(
                fields=["shop", "edge_height_least_um", "ski"], name="condition_by_edge_height"
            ),
            models.Index(
                fields=["shop", "base_thickness_um", "ski"], name="condition_by_base_thickness"
            ),
            models.Index(fields=["shop", "services_left_low", "ski"], name="condition_by_services"),
            models.Index(fields=["shop", "last_job_day", "ski"], name="condition_by_last_job"),
            models.Index(
                fields=["shop", "days_out_since_job_high", "ski"], name="condition_by_days_out"
            ),
            models.Index(fields=["shop", "due_on", "ski"], name="condition_by_due"),
        ]
        constraints = [
            models.CheckConstraint(
                name="condition_of_the_shop_in_the_key",
                condition=Exact(StrIndex(F("ski"), Concat(F("shop"), Value("/"))), 1),
            ),
            models.CheckConstraint(
                name="condition_severity",
                condition=Q(
                    open_findings=0, worst_severity="", worst_finding="", worst_finding_day=None
                )
                | Q(
                    open_findings__gt=0,
                    worst_severity__in=SEVERITIES,
                    worst_finding__gt="",
                    worst_finding_day__isnull=False,
                ),
            ),
            models.CheckConstraint(
                name="condition_status", condition=Q(status__in=("", *STATUSES))
            ),
            models.CheckConstraint(
                name="condition_last_job_of_jobs",
                condition=Q(jobs=0, last_job_day__isnull=True, last_job="")
                | Q(jobs__gt=0, last_job_day__isnull=False, last_job__gt=""),
            ),
            models.CheckConstraint(
                name="condition_base_with_uncertainty",
                condition=both_or_neither("base_thickness_um", "base_thickness_uncertainty_um"),
            ),
            models.CheckConstraint(
                name="condition_edge_with_uncertainty",
                condition=both_or_neither("edge_height_least_um", "edge_height_uncertainty_um"),
            ),
            models.CheckConstraint(
                name="condition_edge_height_limits",
                condition=unknown_or_between_limits(
                    "edge_height_least_um",
                    "edge_height_low_um",
                    "edge_height_high_um",
                    "edge_height_basis",
                ),
            ),
            models.CheckConstraint(
                name="condition_edge_width_limits",
                condition=unknown_or_between_limits(
                    "edge_width_least_um",
                    "edge_width_low_um",
                    "edge_width_high_um",
                    "edge_width_basis",
                ),
            ),
            models.CheckConstraint(
                name="condition_base_thickness_limits",
                condition=unknown_or_between_limits(
                    "base_thickness_um",
                    "base_thickness_low_um",
                    "base_thickness_high_um",
                    "base_thickness_basis",
                ),
            ),
            models.CheckConstraint(
                name="condition_use_reported",
                condition=Q(days_in_use=None, last_use_day=None, last_use="", use_season_day=None)
                | Q(
                    days_in_use__isnull=False,
                    days_in_use__gte=0,
                    last_use_day__isnull=False,
                    last_use__gt="",
                    use_season_day__isnull=False,
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"condition of {self.ski_id}"
