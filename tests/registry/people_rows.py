"""Rows of people, share links and label ranges that the database takes, and that it refuses."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from typing import Any

Columns = Mapping[str, Any]
Row = tuple[str, str, Columns, Columns, Columns]

HANDLE = "fellbench@localhost.invalid"
BARE = "bare@localhost.invalid"
NOW = datetime(2025, 3, 1, tzinfo=UTC)
LATER = NOW + timedelta(days=62)
HEX = "ab" * 32
USERS = (901, 902)

MEMBER: dict[str, Any] = {"user_id": 901, "shop_id": HANDLE, "role": "owner", "alias": "jay"}
SHARE_LINK: dict[str, Any] = {
    "prefix": "abcdefgh",
    "shop_id": HANDLE,
    "tag": "FB-0042",
    "digest": HEX,
    "created_at": NOW,
    "expires_at": LATER,
}
RANGE: dict[str, Any] = {
    "shop_id": HANDLE,
    "prefix": "FB-",
    "first": 1,
    "last": 99,
    "digits": 4,
    "created_at": NOW,
}
OPENED = {"opened_count": 1, "last_opened_at": NOW}
LONG = {"prefix": "F" * 35, "digits": 4}

PEOPLE_CHECKS: tuple[Row, ...] = (
    ("member_role", "Member", MEMBER, {"role": "reader"}, {"role": "guest"}),
    ("member_role", "Member", MEMBER, {"role": "technician"}, {"role": ""}),
    ("member_unit", "Member", MEMBER, {"unit": "um"}, {"unit": "in"}),
    ("member_language", "Member", MEMBER, {"language": "de"}, {"language": "it"}),
    ("share_link_digest_length", "ShareLink", SHARE_LINK, {}, {"digest": "ab"}),
    ("share_link_expires_later", "ShareLink", SHARE_LINK, {}, {"expires_at": NOW}),
    (
        "share_link_revoked_later",
        "ShareLink",
        SHARE_LINK,
        {"revoked_at": NOW},
        {"revoked_at": NOW - timedelta(seconds=1)},
    ),
    ("share_link_opened_at_a_time", "ShareLink", SHARE_LINK, OPENED, {"opened_count": 1}),
    ("share_link_opened_at_a_time", "ShareLink", SHARE_LINK, {}, {"last_opened_at": NOW}),
    (
        "share_link_opened_at_a_time",
        "ShareLink",
        SHARE_LINK,
        {},
        {"opened_count": -1, "last_opened_at": NOW},
    ),
    ("label_range_in_order", "LabelRange", RANGE, {"last": 1}, {"last": 0}),
    ("label_range_in_order", "LabelRange", RANGE, {}, {"first": 0}),
    ("label_range_in_order", "LabelRange", RANGE, {"last": 1000}, {"last": 1001}),
    (
        "label_range_fits_digits",
        "LabelRange",
        RANGE,
        {"first": 9000, "last": 9999},
        {"first": 9001, "last": 10000},
    ),
    ("label_range_fits_digits", "LabelRange", RANGE, {"digits": 3}, {"digits": 2}),
    ("label_range_fits_digits", "LabelRange", RANGE, {"digits": 8}, {"digits": 9}),
    ("label_range_tag_length", "LabelRange", RANGE, LONG, {**LONG, "digits": 5}),
    (
        "label_range_prefix_ends_without_digit",
        "LabelRange",
        RANGE,
        {"prefix": "F1A"},
        {"prefix": "F1"},
    ),
    ("label_range_prefix_ends_without_digit", "LabelRange", RANGE, {}, {"prefix": ""}),
)
PEOPLE_UNIQUE: tuple[Row, ...] = (
    (
        "member_alias_once_a_shop",
        "Member",
        MEMBER,
        {"user_id": 902, "alias": "wren"},
        {"user_id": 902},
    ),
    (
        "member_alias_once_a_shop",
        "Member",
        {**MEMBER, "alias": ""},
        {"user_id": 902},
        {"role": "reader"},
    ),
    (
        "label_range_once",
        "LabelRange",
        RANGE,
        {"shop_id": BARE},
        {"last": 5},
    ),
)
