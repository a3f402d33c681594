"""Each way in which a bench or a program gets it wrong, the place, and the mend that is named."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import BaseModel, ValidationError

from apps.records.errors import InvalidRecord
from apps.records.examples import example_record
from apps.records.problems import field_errors
from apps.records.reading import read_document, read_draft
from tests.records.refusals import HOST, coded, draft_errors, draft_of, record_errors

BEVEL = {"edge": "both", "base_bevel_deg": 0.5}
FINDING = {"what": "gouge", "severity": "slight", "state": "open"}


@pytest.mark.parametrize(
    ("kind", "body", "pointer", "code", "mend"),
    [
        ("bevel-setting", {"edge": "both", "base_bevel_deg": 45}, "/body/base_bevel_deg",
         "out-of-range", "give the bevel from the base plane, e.g. 0.5"),
        ("bevel-setting", {"edge": "both", "side_bevel_deg": 45}, "/body/side_bevel_deg",
         "out-of-range", "give the bevel from square, e.g. 2, or in a request side_angle_deg 88"),
        ("bevel-setting", {"edge": "both", "side_bevel_deg": 88}, "/body/side_bevel_deg",
         "out-of-range", "side_angle_deg 88"),
        ("bevel-setting", {"edge": "both", "side_angle_deg": 45}, "/body/side_angle_deg",
         "out-of-range", "e.g. 88, or side_bevel_deg 2"),
        ("bevel-setting", {"edge": "both", "side_angle_deg": 79}, "/body/side_angle_deg",
         "out-of-range", "80.00 to 90.00 deg"),
        ("bevel-setting", {**BEVEL, "side_bevel_deg": 3, "side_angle_deg": 88},
         "/body/side_angle_deg", "bevel-and-angle-disagree", "send one of the two"),
        ("bevel-setting", {"edge": "both", "base_bevel_deg": 0.505}, "/body/base_bevel_deg",
         "finer-than-step", "finer than the step of 0.01 deg; round it"),
        ("bevel-setting", {"edge": "both"}, "/body", "nothing-given", "at least one of"),
        ("bevel-setting", {**BEVEL, "edge": "inside"}, "/body/edge", "unknown-word",
         "'left', 'right' or 'both'"),
        ("bevel-setting", {**BEVEL, "base_bevel": 1}, "/body/base_bevel", "unknown-field",
         "did you mean `base_bevel_deg`?"),
        ("description", {"shovel_width_mm": 110, "waist_width_mm": 130, "tail_width_mm": 105},
         "/body/waist_width_mm", "waist-wider-than-ends", "check the order of the three widths"),
        ("description", {"length_mm": -1710}, "/body/length_mm", "out-of-range", "at least 300"),
        ("description", {"length_mm": 171000}, "/body/length_mm", "out-of-range", "at most 2600"),
        ("description", {"length_mm": "1710"}, "/body/length_mm", "not-an-integer",
         "without quotation marks"),
        ("description", {"waist_width_mm": -68}, "/body/waist_width_mm", "out-of-range",
         "outside 30.0 to 250.0 mm; check the reading and its unit"),
        ("description", {"waist_width_mm": 1e30}, "/body/waist_width_mm", "out-of-range",
         "30.0 to 250.0 mm"),
        ("description", {"model_year": 1899}, "/body/model_year", "out-of-range", "1930"),
        ("description", {"maker_text": None}, "/body/maker_text", "null", "leave the field out"),
        ("description", {"maker_text": "a\u202eb"}, "/body/maker_text", "refused-character",
         "right-to-left override"),
        ("description", {"maker_text": 7}, "/body/maker_text", "not-a-string", "quotation marks"),
        ("measurement", {"quantity": "edge_height_mm", "value": "1.78", "edge": "left",
                         "station": "middle"},
         "/body/station", "unknown-word", "'waist'"),
        ("measurement", {"quantity": "edge_height", "value": 1}, "/body/quantity", "unknown-word",
         "'edge_height_mm'"),
        ("measurement", {"quantity": "camber_mm", "value": 900}, "/body/value", "out-of-range",
         "-20.0 to 60.0 mm"),
        ("usage", {}, "/body/days", "missing", "`days` is missing; give it"),
        ("usage", {"days": 0.5}, "/body/days", "not-an-integer", "whole number"),
        ("usage", {"days": True}, "/body/days", "not-an-integer", "whole number"),
        ("usage", [], "/body", "not-an-object", "object in braces"),
        ("job", {"findings": {}}, "/body/findings", "not-a-list", "list in square brackets"),
        ("job", {"findings": [FINDING] * 61}, "/body/findings", "too-many", "At most 60 items"),
        ("job", {"findings": [{**FINDING, "severety": "x"}]}, "/body/findings/0/severety",
         "unknown-field", "did you mean `severity`?"),
        ("job", {"findings": [{**FINDING, "where": {"edg": "left", "station": "tip"}}]},
         "/body/findings/0/where/edg", "unknown-field", "did you mean `edge`?"),
        ("job", {"findings": [{**FINDING, "xyzzy": 1}]}, "/body/findings/0/xyzzy",
         "unknown-field", "No field `xyzzy` here; leave it out."),
        ("job", {}, "/body", "nothing-given", "`findings`"),
        ("job", {"technician": "A Name", "remarks": "x"}, "/body/technician", "not-an-alias",
         "begins with a letter"),
    ],
)  # fmt: skip
def test_a_wrong_body_names_field_and_mend(
    kind: str, body: Any, pointer: str, code: str, mend: str
) -> None:
    errors = draft_errors(kind, body)
    assert coded(errors) == [(pointer, code)]
    assert mend in errors[0].message
    assert errors[0].message[-1] in ".?"


@pytest.mark.parametrize(
    ("envelope", "pointer", "code"),
    [
        ({"performed_at": "2025-01-31T10:00:00"}, "/performed_at", "no-offset"),
        ({"performed_at": None}, "/performed_at", "null"),
        ({"ski": {"shop": "fellbench", "tag": "A\u0000B"}}, "/ski/tag", "tag-character"),
        ({"ski": {"shop": "fellbench", "tag": "A\u202eB"}}, "/ski/tag", "tag-character"),
        ({"ski": {"shop": "fellbench", "tag": "X" * 500}}, "/ski/tag", "tag-too-long"),
        ({"ski": {"shop": "Fell Bench", "tag": "A"}}, "/ski/shop", "not-a-handle"),
        ({"ski": {"shop": "fellbench"}}, "/ski/tag", "missing"),
        ({"refers_to": ["0" * 64]}, "/refers_to", "too-many"),
        ({"kind": "usage"}, "/kind", "unknown-field"),
        ({"salt": "0" * 32}, "/salt", "unknown-field"),
        ({"author": "Nobody"}, "/author", "not-a-handle"),
    ],
)
def test_a_wrong_envelope_names_its_field(
    envelope: dict[str, Any], pointer: str, code: str
) -> None:
    assert coded(draft_errors("usage", {"days": 3}, **envelope)) == [(pointer, code)]


@pytest.mark.parametrize(
    ("data", "pointer", "code"),
    [
        (b'{"body":{"days":NaN}}', "/body/days", "not-a-number"),
        (b'{"body":{"days":1,"days":2}}', "/body/days", "duplicate-key"),
        (b"[" * 5000, "", "too-deep"),
        (b'"' + b"x" * (10 * 1024 * 1024) + b'"', "", "too-large"),
        (b"[]", "", "not-an-object"),
        (b"null", "", "not-an-object"),
        (b"{", "", "not-json"),
    ],
)
def test_bytes_that_are_no_draft_are_refused(data: bytes, pointer: str, code: str) -> None:
    with pytest.raises(InvalidRecord) as caught:
        read_draft("usage", data, node_host=HOST)
    assert coded(caught.value.errors) == [(pointer, code)]


def test_all_errors_come_at_once() -> None:
    body = {
        "findings": [{"what": "hole", "severity": "bad", "state": "open"}],
        "steps": [{"operation": "wax", "iron_temperature_c": 900}],
        "target": {"base_bevel_deg": 45},
        "remarks": "a\u0007b",
    }
    errors = draft_errors("job", body, performed_at="yesterday", colour="red")
    assert coded(errors) == [
        ("/performed_at", "not-a-date"),
        ("/body/findings/0/what", "unknown-word"),
        ("/body/findings/0/severity", "unknown-word"),
        ("/body/steps/0/iron_temperature_c", "out-of-range"),
        ("/body/target/base_bevel_deg", "out-of-range"),
        ("/body/remarks", "refused-character"),
        ("/colour", "unknown-field"),
    ]


def test_every_null_comes_at_once() -> None:
    errors = draft_errors("job", {"remarks": None, "findings": [None]})
    assert coded(errors) == [("/body/remarks", "null"), ("/body/findings/0", "null")]


@pytest.mark.parametrize(
    ("kind", "changes", "pointer", "code"),
    [
        ("usage", {"format": 0}, "/format", "unknown-word"),
        ("usage", {"format": True}, "/format", "unknown-word"),
        ("usage", {"format": "1"}, "/format", "unknown-word"),
        ("usage", {"kind": "usages"}, "/kind", "unknown-kind"),
        ("usage", {"kind": ["usage"]}, "/kind", "unknown-kind"),
        ("usage", {"key": "short"}, "/key", "not-a-key-id"),
        ("usage", {"salt": "0F" * 16}, "/salt", "not-a-salt"),
        ("usage", {"author": "fellbench"}, "/author", "not-a-handle"),
        ("usage", {"ski": {"shop": "a@b.c", "tag": "lower"}}, "/ski/tag", "tag-character"),
        ("usage", {"body": {"days": 1, "colour": "red"}}, "/body/colour", "unknown-field"),
        ("bevel-setting", {"body": {"edge": "left", "basis": "set", "side_angle_deg": "88.00"}},
         "/body/side_angle_deg", "unknown-field"),
        ("bevel-setting", {"body": {"edge": "left", "base_bevel_deg": "0.50"}}, "/body/basis",
         "missing"),
        ("bevel-setting", {"body": {"edge": "left", "basis": "set", "base_bevel_deg": "0.5"}},
         "/body/base_bevel_deg", "not-exact-form"),
        ("job", {"body": {"findings": [], "remarks": "x"}}, "/body/findings", "empty-list"),
        ("retraction", {"refers_to": []}, "/refers_to", "too-few"),
        ("retraction", {"refers_to": ["0" * 64, "1" * 64]}, "/refers_to", "too-many"),
    ],
)  # fmt: skip
def test_a_record_is_held_to_the_exact_form(
    kind: str, changes: dict[str, Any], pointer: str, code: str
) -> None:
    assert coded(record_errors(kind, **changes)) == [(pointer, code)]


def test_a_kind_that_is_left_out_is_asked_for() -> None:
    errors = record_errors("usage", kind=None)
    assert coded(errors) == [("/kind", "null")]
    document = {k: v for k, v in example_record("usage").items() if k != "kind"}
    with pytest.raises(InvalidRecord, match="`kind` is missing; write one of description, job"):
        read_document(document)
    with pytest.raises(InvalidRecord, match="No kind `ballet`"):
        read_draft("ballet", {}, node_host=HOST)


class Foreign(BaseModel):
    """A model outside the schema, whose kind of error has no sentence of ours."""

    ratio: float


def test_an_error_without_a_sentence_of_ours_still_has_place_and_text() -> None:
    with pytest.raises(ValidationError) as caught:
        Foreign.model_validate({"ratio": "{x}"})
    (error,) = field_errors(caught.value, Foreign)
    assert (error.pointer, error.code) == ("/ratio", "wrong")
    assert error.message.endswith("; correct it.")


def test_a_member_name_that_is_no_string_is_refused() -> None:
    with pytest.raises(InvalidRecord, match="correct it"):
        read_draft("usage", {**draft_of("usage", {"days": 1}), 7: "x"}, node_host=HOST)  # type: ignore[dict-item]


def test_an_error_never_repeats_long_or_hidden_input() -> None:
    replacement = {"kind": "\u202e" + "x" * 500, "performed_at": "2025-01-31", "body": {}}
    errors = draft_errors("correction", {"reason": "omitted", "replacement": replacement})
    assert coded(errors) == [("/body/replacement", "unknown-kind")]
    assert "\u202e" not in errors[0].message
    assert len(errors[0].message) < 250


def test_a_field_of_another_kind_is_not_proposed_for_a_replacement() -> None:
    whole = {"kind": "job", "performed_at": "2025-01-31", "body": {"days": 3, "technican": "t7"}}
    errors = draft_errors("correction", {"reason": "wrong_value", "replacement": whole})
    assert {error.pointer: error.message for error in errors} == {
        "/body/replacement/body/days": "No field `days` here; leave it out.",
        "/body/replacement/body/technican": "No field `technican` here; did you mean `technician`?",
    }
