"""Free text without characters that mislead, and times with their offset."""

from __future__ import annotations

from datetime import date

import pytest
from pydantic_core import PydanticCustomError

from apps.records.forms import Form, Mode
from apps.records.moments import PerformedAt, read_day
from apps.records.texts import LABEL_LENGTH, text_form

STRICT, DRAFT = Mode(), Mode(draft=True)
LABEL = text_form(LABEL_LENGTH)
REMARKS = text_form(2000, newlines=True)


def refusal(form: Form, value: str, mode: Mode = STRICT) -> tuple[str, str]:
    with pytest.raises(PydanticCustomError) as caught:
        form.check(value, mode)
    return caught.value.type, caught.value.message()


@pytest.mark.parametrize("text", ["x", "Füße, 2", "スキー", "עברית", "👩\u200d🔧", "x" * 200])
def test_readable_text_is_kept(text: str) -> None:
    assert LABEL.check(text, STRICT) == text


@pytest.mark.parametrize(
    ("text", "code", "said"),
    [
        ("a\x07b", "refused-character", "U+0007 (control character)"),
        ("a\nb", "refused-character", "U+000A"),
        ("a\u202eb", "refused-character", "right-to-left override"),
        ("a\u200eb", "refused-character", "left-to-right mark"),
        ("a\u2066b", "refused-character", "left-to-right isolate"),
        ("a\u2028b", "refused-character", "line separator"),
        ("a\ufeffb", "refused-character", "U+FEFF"),
        ("a\ud800b", "refused-character", "U+D800"),
        ("x" * 201, "too-long", "At most 200 characters"),
        ("", "empty-text", "leave the field out"),
        ("\u200b", "empty-text", "leave the field out"),
    ],
)
@pytest.mark.parametrize("mode", [STRICT, DRAFT])
def test_text_that_misleads_is_refused(text: str, code: str, said: str, mode: Mode) -> None:
    found, sentence = refusal(LABEL, text, mode)
    assert found == code
    assert said in sentence


def test_a_draft_is_trimmed_and_normalised() -> None:
    assert LABEL.check("  e\u0301 ", DRAFT) == "é"
    assert REMARKS.check("a\r\nb\n", DRAFT) == "a\nb"


@pytest.mark.parametrize(("text", "code"), [(" a", "not-trimmed"), ("e\u0301", "not-nfc")])
def test_a_record_is_in_the_one_form_already(text: str, code: str) -> None:
    assert refusal(LABEL, text)[0] == code


def test_remarks_may_have_lines() -> None:
    assert REMARKS.check("a\nb", STRICT) == "a\nb"
    assert refusal(REMARKS, "a\r\nb")[0] == "refused-character"


# RFC 3339 section 5.8: the examples that have whole seconds, and their instants.
@pytest.mark.parametrize(
    ("text", "day", "instant"),
    [
        ("1996-12-19T16:39:57-08:00", date(1996, 12, 19), "1996-12-20T00:39:57Z"),
        ("2025-01-31", date(2025, 1, 31), "2025-01-31T00:00:00Z"),
        ("2025-01-31T23:30:00-05:00", date(2025, 1, 31), "2025-02-01T04:30:00Z"),
        ("2025-01-31T00:30:00+01:00", date(2025, 1, 31), "2025-01-30T23:30:00Z"),
        ("2024-02-29T12:00:00Z", date(2024, 2, 29), "2024-02-29T12:00:00Z"),
        ("1950-01-01T00:00:00+14:00", date(1950, 1, 1), "1949-12-31T10:00:00Z"),
    ],
)
def test_a_moment_keeps_its_text_and_knows_its_day(text: str, day: date, instant: str) -> None:
    moment = PerformedAt.read(text)
    assert moment == text
    assert moment.day == day
    assert moment.sort_key == instant
    assert moment.has_time == ("T" in text)


@pytest.mark.parametrize(
    ("value", "code", "said"),
    [
        ("2025-01-31T14:30:00", "no-offset", "+01:00"),
        ("2025-01-31 14:30", "no-offset", "offset and seconds"),
        ("2025-01-31T14:30Z", "not-a-date", "2025-01-31T14:30:00+01:00"),
        ("2025-01-31T14:30:00.5Z", "fraction-of-second", "Leave out the fraction"),
        ("2025-01-31T14:30:00,123+01:00", "fraction-of-second", "Leave out the fraction"),
        ("2025-01-31t14:30:00z", "not-a-date", "capitals"),
        ("2025-02-29", "not-a-date", "no real date"),
        ("2025-01-31T25:00:00Z", "not-a-date", "no real date"),
        ("2025-01-31T10:00:00+24:00", "not-a-date", "no real date"),
        ("2016-12-31T23:59:60Z", "not-a-date", "no real date"),
        ("1949-12-31", "year-out-of-range", "1950 to 2100"),
        ("2101-01-01", "year-out-of-range", "1950 to 2100"),
        ("31.01.2025", "not-a-date", "2025-01-31"),
        ("2025-W05-5", "not-a-date", "2025-01-31"),
        ("٢٠٢٥-01-31", "not-a-date", "2025-01-31"),
        (20250131, "not-a-date", "as a string"),
    ],
)
def test_a_doubtful_time_is_refused_with_the_mend(value: object, code: str, said: str) -> None:
    with pytest.raises(PydanticCustomError) as caught:
        PerformedAt.read(value)
    assert caught.value.type == code
    assert said in caught.value.message()


def test_a_day_is_a_day_only() -> None:
    assert read_day("2024-11-05", STRICT) == "2024-11-05"
    for value in ("2024-11-5", "2024-11-05T10:00:00Z", "2024-13-01"):
        with pytest.raises(PydanticCustomError):
            read_day(value, STRICT)
