"""Conditions by fleet, and wear beside them. Both are an index: `rebuild` fills them again."""

import django.db.models.deletion
import django.db.models.functions.text
import django.db.models.lookups
from django.db import migrations, models


class Migration(migrations.Migration):
    dependencies = [
        ("registry", "0002_append_only"),
    ]

    operations = [
        migrations.DeleteModel(
            name="Condition",
        ),
        migrations.CreateModel(
            name="Condition",
            fields=[
                (
                    "ski",
                    models.OneToOneField(
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        primary_key=True,
                        related_name="condition",
                        serialize=False,
                        to="registry.ski",
                    ),
                ),
                ("shop", models.CharField(max_length=120)),
                ("folded_on", models.DateField()),
                ("first_day", models.DateField()),
                ("edge_height_least_um", models.IntegerField(null=True)),
                ("edge_height_uncertainty_um", models.IntegerField(null=True)),
                ("edge_height_low_um", models.IntegerField(null=True)),
                ("edge_height_high_um", models.IntegerField(null=True)),
                ("edge_height_basis", models.CharField(blank=True, default="", max_length=40)),
                ("edge_width_least_um", models.IntegerField(null=True)),
                ("edge_width_low_um", models.IntegerField(null=True)),
                ("edge_width_high_um", models.IntegerField(null=True)),
                ("edge_width_basis", models.CharField(blank=True, default="", max_length=40)),
                ("base_thickness_um", models.IntegerField(null=True)),
                ("base_thickness_uncertainty_um", models.IntegerField(null=True)),
                ("base_thickness_low_um", models.IntegerField(null=True)),
                ("base_thickness_high_um", models.IntegerField(null=True)),
                ("base_thickness_basis", models.CharField(blank=True, default="", max_length=40)),
                ("services_left", models.IntegerField(null=True)),
                ("services_left_low", models.IntegerField(null=True)),
                ("services_left_high", models.IntegerField(null=True)),
                ("base_bevel_standing", models.CharField(max_length=40)),
                ("side_bevel_standing", models.CharField(max_length=40)),
                ("open_findings", models.IntegerField(default=0)),
                ("worst_severity", models.CharField(blank=True, default="", max_length=40)),
                ("worst_finding_day", models.DateField(null=True)),
                ("worst_finding", models.CharField(blank=True, default="", max_length=64)),
                ("grinds", models.IntegerField(default=0)),
                ("jobs", models.IntegerField(default=0)),
                ("last_job_day", models.DateField(null=True)),
                ("last_job", models.CharField(blank=True, default="", max_length=64)),
                ("days_in_use", models.IntegerField(null=True)),
                ("days_out_since_job_low", models.IntegerField(null=True)),
                ("days_out_since_job_high", models.IntegerField(null=True)),
                ("days_out_per_1000", models.IntegerField(null=True)),
                ("last_use_day", models.DateField(null=True)),
                ("last_use", models.CharField(blank=True, default="", max_length=64)),
                ("use_season_day", models.IntegerField(null=True)),
                ("status", models.CharField(blank=True, default="", max_length=40)),
                ("warnings", models.IntegerField(default=0)),
                ("due_on", models.DateField(null=True)),
                ("due_by_use", models.DateField(null=True)),
                ("due_by_use_earliest", models.DateField(null=True)),
                ("due_by_use_latest", models.DateField(null=True)),
                ("due_by_date", models.DateField(null=True)),
                ("due_by_finding", models.DateField(null=True)),
                ("state", models.TextField()),
            ],
            options={
                "indexes": [
                    models.Index(fields=["shop", "ski"], name="condition_of_shop"),
                    models.Index(
                        fields=["shop", "edge_height_least_um", "ski"],
                        name="condition_by_edge_height",
                    ),
                    models.Index(
                        fields=["shop", "base_thickness_um", "ski"],
                        name="condition_by_base_thickness",
                    ),
                    models.Index(
                        fields=["shop", "services_left_low", "ski"], name="condition_by_services"
                    ),
                    models.Index(
                        fields=["shop", "last_job_day", "ski"], name="condition_by_last_job"
                    ),
                    models.Index(
                        fields=["shop", "days_out_since_job_high", "ski"],
                        name="condition_by_days_out",
                    ),
                    models.Index(fields=["shop", "due_on", "ski"], name="condition_by_due"),
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=django.db.models.lookups.Exact(
                            django.db.models.functions.text.StrIndex(
                                models.F("ski"),
                                django.db.models.functions.text.Concat(
                                    models.F("shop"), models.Value("/")
                                ),
                            ),
                            1,
                        ),
                        name="condition_of_the_shop_in_the_key",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("open_findings", 0),
                                ("worst_finding", ""),
                                ("worst_finding_day", None),
                                ("worst_severity", ""),
                            ),
                            models.Q(
                                ("open_findings__gt", 0),
                                ("worst_finding__gt", ""),
                                ("worst_finding_day__isnull", False),
                                ("worst_severity__in", ("slight", "moderate", "severe")),
                            ),
                            _connector="OR",
                        ),
                        name="condition_severity",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            (
                                "status__in",
                                (
                                    "",
                                    "in_service",
                                    "on_bench",
                                    "quarantined",
                                    "retired",
                                    "sold",
                                    "missing",
                                ),
                            )
                        ),
                        name="condition_status",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(("jobs", 0), ("last_job", ""), ("last_job_day__isnull", True)),
                            models.Q(
                                ("jobs__gt", 0),
                                ("last_job__gt", ""),
                                ("last_job_day__isnull", False),
                            ),
                            _connector="OR",
                        ),
                        name="condition_last_job_of_jobs",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("base_thickness_um__isnull", True),
                                ("base_thickness_uncertainty_um__isnull", True),
                            ),
                            models.Q(
                                ("base_thickness_um__isnull", False),
                                ("base_thickness_uncertainty_um__isnull", False),
                            ),
                            _connector="OR",
                        ),
                        name="condition_base_with_uncertainty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("edge_height_least_um__isnull", True),
                                ("edge_height_uncertainty_um__isnull", True),
                            ),
                            models.Q(
                                ("edge_height_least_um__isnull", False),
                                ("edge_height_uncertainty_um__isnull", False),
                            ),
                            _connector="OR",
                        ),
                        name="condition_edge_with_uncertainty",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("edge_height_high_um__isnull", True),
                                ("edge_height_least_um__isnull", True),
                                ("edge_height_low_um__isnull", True),
                                ("edge_height_basis", ""),
                            ),
                            models.Q(
                                ("edge_height_high_um__isnull", False),
                                ("edge_height_least_um__isnull", False),
                                ("edge_height_low_um__isnull", False),
                                (
                                    "edge_height_basis__in",
                                    ("readings", "practice", "readings less practice"),
                                ),
                                ("edge_height_high_um__gte", models.F("edge_height_least_um")),
                                ("edge_height_low_um__lte", models.F("edge_height_least_um")),
                            ),
                            _connector="OR",
                        ),
                        name="condition_edge_height_limits",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("edge_width_high_um__isnull", True),
                                ("edge_width_least_um__isnull", True),
                                ("edge_width_low_um__isnull", True),
                                ("edge_width_basis", ""),
                            ),
                            models.Q(
                                ("edge_width_high_um__isnull", False),
                                ("edge_width_least_um__isnull", False),
                                ("edge_width_low_um__isnull", False),
                                (
                                    "edge_width_basis__in",
                                    ("readings", "practice", "readings less practice"),
                                ),
                                ("edge_width_high_um__gte", models.F("edge_width_least_um")),
                                ("edge_width_low_um__lte", models.F("edge_width_least_um")),
                            ),
                            _connector="OR",
                        ),
                        name="condition_edge_width_limits",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("base_thickness_high_um__isnull", True),
                                ("base_thickness_low_um__isnull", True),
                                ("base_thickness_um__isnull", True),
                                ("base_thickness_basis", ""),
                            ),
                            models.Q(
                                ("base_thickness_high_um__isnull", False),
                                ("base_thickness_low_um__isnull", False),
                                ("base_thickness_um__isnull", False),
                                (
                                    "base_thickness_basis__in",
                                    ("readings", "practice", "readings less practice"),
                                ),
                                ("base_thickness_high_um__gte", models.F("base_thickness_um")),
                                ("base_thickness_low_um__lte", models.F("base_thickness_um")),
                            ),
                            _connector="OR",
                        ),
                        name="condition_base_thickness_limits",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("days_in_use", None),
                                ("last_use", ""),
                                ("last_use_day", None),
                                ("use_season_day", None),
                            ),
                            models.Q(
                                ("days_in_use__gte", 0),
                                ("days_in_use__isnull", False),
                                ("last_use__gt", ""),
                                ("last_use_day__isnull", False),
                                ("use_season_day__isnull", False),
                            ),
                            _connector="OR",
                        ),
                        name="condition_use_reported",
                    ),
                ],
            },
        ),
        migrations.CreateModel(
            name="Wear",
            fields=[
                (
                    "pk",
                    models.CompositePrimaryKey(
                        "ski_id",
                        "quantity",
                        blank=True,
                        editable=False,
                        primary_key=True,
                        serialize=False,
                    ),
                ),
                (
                    "ski",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.DO_NOTHING,
                        related_name="+",
                        to="registry.ski",
                    ),
                ),
                ("quantity", models.CharField(max_length=40)),
                ("shop", models.CharField(max_length=120)),
                ("in_fleet", models.BooleanField()),
                ("readings", models.IntegerField()),
                ("intervals", models.IntegerField()),
                ("services", models.IntegerField()),
                ("removed_um", models.IntegerField()),
                ("scatter_um2", models.BigIntegerField()),
                ("scatter_of_readings_um2", models.BigIntegerField()),
                ("readings_variance_um2", models.BigIntegerField()),
                ("level_um", models.IntegerField(null=True)),
                ("level_variance_um2", models.BigIntegerField(null=True)),
                ("shared_variance_um2", models.BigIntegerField()),
                ("services_since", models.IntegerField()),
                ("spans", models.IntegerField()),
                ("span_days", models.IntegerField()),
                ("span_squares", models.BigIntegerField()),
                ("days_since", models.IntegerField()),
                ("seasons", models.IntegerField()),
                ("season_days", models.IntegerField()),
                ("season_squares", models.BigIntegerField()),
            ],
            options={
                "indexes": [
                    models.Index(fields=["shop", "quantity", "in_fleet"], name="wear_of_shop")
                ],
                "constraints": [
                    models.CheckConstraint(
                        condition=django.db.models.lookups.Exact(
                            django.db.models.functions.text.StrIndex(
                                models.F("ski"),
                                django.db.models.functions.text.Concat(
                                    models.F("shop"), models.Value("/")
                                ),
                            ),
                            1,
                        ),
                        name="wear_of_the_shop_in_the_key",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("quantity__in", ("edge_height", "edge_width", "base_thickness"))
                        ),
                        name="wear_quantity",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            models.Q(
                                ("level_um__isnull", True), ("level_variance_um2__isnull", True)
                            ),
                            models.Q(
                                ("level_um__isnull", False), ("level_variance_um2__isnull", False)
                            ),
                            _connector="OR",
                        ),
                        name="wear_level_with_variance",
                    ),
                    models.CheckConstraint(
                        condition=models.Q(
                            ("intervals__gte", 0),
                            ("readings__gte", 0),
                            ("services__gte", 0),
                            ("spans__gte", 0),
                        ),
                        name="wear_counts_from_zero",
                    ),
                ],
            },
        ),
    ]
