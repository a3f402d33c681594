"""What must never be, the database refuses: each named constraint, seen from both sides."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime
from typing import Any

import pytest
from django.apps import apps
from django.contrib.auth.models import User
from django.db import IntegrityError, models, transaction

from apps.registry.actors import Actor
from apps.registry.models import Record, Shop, Tag
from apps.tuning.wear_statistics import FIELDS
from tests.registry.people_rows import PEOPLE_CHECKS, PEOPLE_UNIQUE, USERS

pytestmark = pytest.mark.django_db

NOW = datetime(2025, 3, 1, tzinfo=UTC)
LATER = datetime(2026, 3, 1, tzinfo=UTC)
DAY = date(2025, 1, 31)
HEX = "ab" * 32
HANDLE = "fellbench@localhost.invalid"
BARE = "bare@localhost.invalid"

SHOP = {"handle": "beckside@node.example", "code": "beckside", "created_at": NOW}
LOOK_UP = {"shop_id": HANDLE, "tag_key": "tarnedge@node.example/T-1", "looked_at": NOW}
SIGNING_KEY = {
    "key_id": "k",
    "author": HANDLE,
    "public": bytes(32),
    "held_by": "shop",
    "valid_from": 0,
}
KEPT_KEY = {"key_id": "k", "shop_id": BARE, "private": bytes(32)}
API_KEY = {
    "prefix": "abcdefgh",
    "shop_id": HANDLE,
    "digest": HEX,
    "scopes": "read",
    "created_at": NOW,
    "expires_at": LATER,
}
TAG = {"key": "a@b.example/T-1", "shop": "a@b.example", "tag": "T-1", "registered_by": HEX}
RECORD = {
    "id": HEX,
    "document": b"{}",
    "signature": "s" * 86,
    "author": HANDLE,
    "kind": "job",
    "performed_at": "2025-01-31",
    "performed_day": DAY,
    "received_at": NOW,
    "log_index": 100,
    "rank": "node-attested",
}
ROW: dict[str, Any] = {"author": HANDLE, "performed_day": DAY}
SKI = {"key": "a@b.example/T-2", "cluster": "a@b.example/T-2"}
LINK = {**ROW, "number": 0, "says": "same", "here": "a@b/T-1", "there": "c@d/T-2"}
LINK |= {"by_here": True, "by_there": False}
JOB = {**ROW, "findings": 0, "steps": 2, "grinds": 1, "measurements": 0, "bevel_settings": 0}
FINDING = {**ROW, "number": 0, "what": "gouge", "severity": "slight", "state": "open"}
MEASUREMENT = {**ROW, "number": 0, "kind": "job", "quantity": "width_mm", "value_thousandths": 1}
BEVEL = {**ROW, "number": 0, "kind": "job", "edge": "both", "base_bevel_mdeg": 500, "basis": "set"}
USAGE = {**ROW, "days": 3}
STATUS = {**ROW, "status": "in_service"}
PAIR = {**ROW, "other_tag_key": "a@b.example/T-9"}
WORST = {"worst_severity": "severe", "worst_finding": HEX, "worst_finding_day": DAY}
LIMITS = {"low_um": 850, "high_um": 950, "basis": "readings"}
HEIGHT = {"edge_height_least_um": 900, **{f"edge_height_{k}": v for k, v in LIMITS.items()}}
WIDTH = {"edge_width_least_um": 900, **{f"edge_width_{k}": v for k, v in LIMITS.items()}}
BASE = {"base_thickness_um": 900, **{f"base_thickness_{k}": v for k, v in LIMITS.items()}}
HEIGHT_50, BASE_50 = (
    {**HEIGHT, "edge_height_uncertainty_um": 50},
    {**BASE, "base_thickness_uncertainty_um": 50},
)
USE = {"days_in_use": 3, "last_use": HEX, "last_use_day": DAY, "use_season_day": 17_000}
WEAR: dict[str, Any] = {
    "quantity": "edge_height",
    "shop": HANDLE,
    "in_fleet": True,
    **{name: 0 for name in FIELDS if not name.startswith("level")},
}
LIKENESS = {"text": "corvid/scree 84", "variant": "v" * 32}
LIKE_VALUE = {"author": HANDLE, "what": "base_bevel", "value_thousandths": 500, "variant": "v" * 32}
CONDITION: dict[str, Any] = {
    "state": "{}",
    "shop": HANDLE,
    "first_day": DAY,
    "folded_on": DAY,
    "base_bevel_standing": "stands",
    "side_bevel_standing": "stands",
}
KEY = {"shop": HANDLE, "key": "k", "request_digest": HEX, "created_at": NOW}

KEY_END = {"kind": "key-end"}

# Constraint, table, what a row has, the change that is accepted, the change that is refused.
TREE_NODE = {"level": 40, "position": 0, "hash": b"h" * 32}

CHECKS: tuple[tuple[str, str, Mapping[str, Any], Mapping[str, Any], Mapping[str, Any]], ...] = (
    ("shop_handle_begins_with_code", "Shop", SHOP, {}, {"code": "other"}),
    ("look_up_is_of_a_foreign_tag", "LookUp", LOOK_UP, {}, {"tag_key": f"{HANDLE}/T-1"}),
    ("signing_key_public_length", "SigningKey", SIGNING_KEY, {}, {"public": bytes(31)}),
    ("signing_key_held_by", "SigningKey", SIGNING_KEY, {"held_by": "node"}, {"held_by": "peer"}),
    (
        "signing_key_ends_after_it_begins",
        "SigningKey",
        {**SIGNING_KEY, "valid_from": 5, "ended_by": HEX},
        {"ends_at": 6},
        {"ends_at": 5},
    ),
    (
        "signing_key_ended_by_a_record",
        "SigningKey",
        {**SIGNING_KEY, "ends_at": 3},
        {"ended_by": HEX},
        {"ended_by": ""},
    ),
    ("kept_key_private_length", "KeptKey", KEPT_KEY, {}, {"private": bytes(33)}),
    ("signing_key_ends_after_it_begins", "SigningKey", SIGNING_KEY, {}, {"valid_from": -1}),
    ("api_key_digest_length", "ApiKey", API_KEY, {}, {"digest": "ab"}),
    ("api_key_scopes", "ApiKey", API_KEY, {"scopes": "keys read write"}, {"scopes": "all"}),
    ("api_key_expires_later", "ApiKey", API_KEY, {}, {"expires_at": NOW}),
    ("tag_key_is_shop_and_tag", "Tag", TAG, {}, {"key": "a@b.example/T-2"}),
    ("record_log_index_from_zero", "Record", RECORD, {}, {"log_index": -1}),
    ("record_id_length", "Record", RECORD, {}, {"id": "ab"}),
    ("record_signature_length", "Record", RECORD, {}, {"signature": "s"}),
    ("record_of_a_ski_or_of_the_node", "Record", RECORD, {"format": 2, "kind": "key"}, KEY_END),
    ("record_rank", "Record", RECORD, {"rank": "shop-signed"}, {"rank": "trusted"}),
    ("record_of_a_ski_or_of_the_node", "Record", RECORD, {}, {"kind": "key"}),
    (
        "record_of_a_ski_or_of_the_node",
        "Record",
        {**RECORD, "subject_id": None},
        {"kind": "key-end"},
        {},
    ),
    (
        "record_has_bytes_or_was_erased",
        "Record",
        RECORD,
        {"document": b"", "erased_by": HEX},
        {"document": b""},
    ),
    ("record_has_bytes_or_was_erased", "Record", RECORD, {}, {"erased_by": HEX}),
    ("tree_node_hash_length", "TreeNode", TREE_NODE, {}, {"hash": b"short"}),
    ("tree_node_in_a_tree", "TreeNode", TREE_NODE, {"position": 90}, {"position": -1}),
    ("tree_node_in_a_tree", "TreeNode", TREE_NODE, {"level": 60}, {"level": -1}),
    ("record_amendment_has_target", "Record", RECORD, {}, {"target": HEX}),
    (
        "record_amendment_has_target",
        "Record",
        {**RECORD, "kind": "correction"},
        {"target": HEX},
        {"target": ""},
    ),
    ("log_head_only_one", "LogHead", {"size": 0}, {"id": 1}, {"id": 2}),
    ("log_head_size_from_zero", "LogHead", {"id": 1}, {"size": 0}, {"size": -1}),
    ("job_grinds_are_steps", "Job", JOB, {"grinds": 2}, {"grinds": 3}),
    ("finding_severity", "Finding", FINDING, {"severity": "severe"}, {"severity": "bad"}),
    ("finding_state", "Finding", FINDING, {"state": "repaired"}, {"state": "closed"}),
    (
        "finding_closes_whole",
        "Finding",
        FINDING,
        {"closes_record": HEX, "closes_number": 0},
        {"closes_number": 0},
    ),
    (
        "measurement_measured_or_not",
        "Measurement",
        MEASUREMENT,
        {"not_measured": "no_gauge", "value_thousandths": None},
        {"not_measured": "no_gauge"},
    ),
    (
        "measurement_uncertainty_from_zero",
        "Measurement",
        MEASUREMENT,
        {"uncertainty_thousandths": 0},
        {"uncertainty_thousandths": -1},
    ),
    ("measurement_edge", "Measurement", MEASUREMENT, {"edge": "left"}, {"edge": "both"}),
    ("measurement_moment", "Measurement", MEASUREMENT, {"moment": "after"}, {"moment": "during"}),
    (
        "bevel_setting_has_a_bevel",
        "BevelSetting",
        {**BEVEL, "base_bevel_mdeg": None},
        {"side_bevel_mdeg": 0},
        {},
    ),
    (
        "bevel_setting_ranges",
        "BevelSetting",
        BEVEL,
        {"base_bevel_mdeg": 5000},
        {"base_bevel_mdeg": 5001},
    ),
    (
        "bevel_setting_ranges",
        "BevelSetting",
        BEVEL,
        {"side_bevel_mdeg": 10000},
        {"side_bevel_mdeg": -1},
    ),
    ("bevel_setting_edge", "BevelSetting", BEVEL, {"edge": "right"}, {"edge": "top"}),
    ("bevel_setting_basis", "BevelSetting", BEVEL, {"basis": "specified"}, {"basis": "guessed"}),
    (
        "bevel_setting_moment_of_measured",
        "BevelSetting",
        BEVEL,
        {"moment": "before", "basis": "measured"},
        {"moment": "before"},
    ),
    (
        "bevel_setting_whole_stretch",
        "BevelSetting",
        BEVEL,
        {"station_from_mm": 0, "station_to_mm": 9},
        {"station_from_mm": 0},
    ),
    ("usage_days", "Usage", USAGE, {"days": 400}, {"days": 401}),
    ("usage_days", "Usage", USAGE, {"days": 0}, {"days": -1}),
    ("status_change_word", "StatusChange", STATUS, {"status": "missing"}, {"status": "lost"}),
    (
        "status_change_retired_for_a_reason",
        "StatusChange",
        {**STATUS, "status": "retired"},
        {"reason": "worn_out"},
        {},
    ),
    ("ski_shown_apart", "Ski", SKI, {"apart": "contested"}, {"apart": "by whim"}),
    ("ski_apart_has_one_tag", "Ski", SKI, {"tag_count": 2}, {"tag_count": 2, "apart": "contested"}),
    ("link_word", "Link", LINK, {"says": "distinct"}, {"says": "alike"}),
    ("link_of_two", "Link", LINK, {}, {"there": LINK["here"]}),
    ("link_two_ways", "Link", LINK, {"number": 1}, {"number": 2}),
    ("link_by_a_shop_of_its_tags", "Link", LINK, {"by_there": True}, {"by_here": False}),
    ("pairing_of_two", "Pairing", PAIR, {}, {"other_tag_key": f"{HANDLE}/FB-0042"}),
    (
        "condition_severity",
        "Condition",
        CONDITION,
        {"open_findings": 1, **WORST},
        {"open_findings": 1},
    ),
    ("condition_severity", "Condition", CONDITION, {}, WORST),
    ("condition_status", "Condition", CONDITION, {"status": "sold"}, {"status": "gone"}),
    (
        "condition_last_job_of_jobs",
        "Condition",
        CONDITION,
        {"jobs": 1, "last_job_day": DAY, "last_job": HEX},
        {"jobs": 1, "last_job_day": DAY},
    ),
    ("condition_last_job_of_jobs", "Condition", CONDITION, {}, {"last_job_day": DAY}),
    (
        "condition_base_with_uncertainty",
        "Condition",
        CONDITION,
        BASE_50,
        BASE,
    ),
    (
        "condition_edge_with_uncertainty",
        "Condition",
        CONDITION,
        HEIGHT_50,
        {"edge_height_uncertainty_um": 50},
    ),
    (
        "condition_edge_height_limits",
        "Condition",
        CONDITION,
        HEIGHT_50,
        {**HEIGHT_50, "edge_height_low_um": 901},
    ),
    (
        "condition_edge_width_limits",
        "Condition",
        CONDITION,
        WIDTH,
        {**WIDTH, "edge_width_basis": ""},
    ),
    (
        "condition_base_thickness_limits",
        "Condition",
        CONDITION,
        BASE_50,
        {**BASE_50, "base_thickness_high_um": None},
    ),
    ("condition_use_reported", "Condition", CONDITION, USE, {**USE, "use_season_day": None}),
    (
        "condition_of_the_shop_in_the_key",
        "Condition",
        CONDITION,
        {},
        {"shop": "tarnedge@localhost.invalid"},
    ),
    ("wear_of_the_shop_in_the_key", "Wear", WEAR, {}, {"shop": "fellbench"}),
    ("wear_quantity", "Wear", WEAR, {"quantity": "edge_width"}, {"quantity": "length"}),
    (
        "wear_level_with_variance",
        "Wear",
        WEAR,
        {"level_um": 1700, "level_variance_um2": 100},
        {"level_um": 1700},
    ),
    ("wear_counts_from_zero", "Wear", WEAR, {"spans": 2}, {"spans": -1}),
    ("likeness_variant_length", "Likeness", LIKENESS, {}, {"variant": "v"}),
    ("likeness_year", "Likeness", LIKENESS, {"year": 1930}, {"year": 1929}),
    ("like_value_source", "LikeValue", LIKE_VALUE, {"source": "set"}, {"source": "heard"}),
    ("idempotency_digest_length", "IdempotencyKey", KEY, {}, {"request_digest": "ab"}),
    ("idempotency_status", "IdempotencyKey", KEY, {"status": 201}, {"status": 99}),
    *PEOPLE_CHECKS,
)
UNIQUE: tuple[tuple[str, str, Mapping[str, Any], Mapping[str, Any], Mapping[str, Any]], ...] = (
    (
        "shop_code_once",
        "Shop",
        SHOP,
        {"handle": "crag@node.example", "code": "crag"},
        {"handle": "beckside@other.example"},
    ),
    (
        "",  # A field of its own makes it, without a name.
        "KeptKey",
        KEPT_KEY,
        {"key_id": "l", "shop_id": "barer@localhost.invalid"},
        {"key_id": "l"},
    ),
    (
        "tag_once_a_shop",
        "Tag",
        TAG,
        {"key": "a@b.example/T-2", "tag": "T-2"},
        {"key": "a@b.example/t-1"},
    ),
    (
        "record_log_index_once",
        "Record",
        RECORD,
        {"id": "cd" * 32, "log_index": 101},
        {"id": "cd" * 32},
    ),
    (
        "idempotency_key_once_a_shop",
        "IdempotencyKey",
        KEY,
        {"shop": "tarnedge@node.example"},
        {"status": 200},
    ),
    *PEOPLE_UNIQUE,
)


@pytest.fixture
def rows_needed(ski: str, other_shop: Actor) -> dict[str, Any]:
    """What rows point at; the tests' own records, shops and tags beside it are free to make."""
    (tag,) = Tag.objects.all()
    record = Record.objects.get(kind="description")
    for code in ("bare", "barer"):
        handle = f"{code}@localhost.invalid"
        Shop._default_manager.create(handle=handle, code=code, created_at=NOW)
    for number in USERS:
        User.objects.create(id=number, username=f"user-{number}")
    return {"tag_id": tag.key, "record_id": record.id, "ski_id": tag.ski_id, "stated_by": record.id}


def make(table: str, needed: Mapping[str, Any], members: Mapping[str, Any]) -> None:
    model = apps.get_model("registry", table)
    columns = {field.attname for field in model._meta.concrete_fields}
    common = {name: value for name, value in needed.items() if name in columns}
    if table in {"LogHead", "Condition", "Wear", "Likeness"}:
        model._default_manager.all().delete()
    if table == "Record":
        common["subject_id"] = needed["tag_id"]
    with transaction.atomic():
        model(**{**common, **members}).save(force_insert=True)


@pytest.mark.parametrize(("name", "table", "row", "good", "bad"), CHECKS)
def test_a_check_accepts_and_refuses(
    rows_needed: dict[str, Any],
    name: str,
    table: str,
    row: Mapping[str, Any],
    good: Mapping[str, Any],
    bad: Mapping[str, Any],
) -> None:
    with pytest.raises(IntegrityError, match=name):
        make(table, rows_needed, {**row, **bad})
    make(table, rows_needed, {**row, **good})


@pytest.mark.parametrize(("name", "table", "row", "good", "bad"), UNIQUE)
def test_what_is_unique_comes_once(
    rows_needed: dict[str, Any],
    name: str,
    table: str,
    row: Mapping[str, Any],
    good: Mapping[str, Any],
    bad: Mapping[str, Any],
) -> None:
    del name  # SQLite names the columns instead of the constraint.
    make(table, rows_needed, row)
    with pytest.raises(IntegrityError):
        make(table, rows_needed, {**row, **bad})
    make(table, rows_needed, {**row, **good})


def test_every_named_constraint_is_seen() -> None:
    seen = {check[0] for check in (*CHECKS, *UNIQUE) if check[0]}
    named = {
        constraint.name
        for model in apps.get_app_config("registry").get_models()
        for constraint in model._meta.constraints
        if isinstance(constraint, models.CheckConstraint | models.UniqueConstraint)
    }
    assert seen == named
