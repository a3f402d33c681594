"""The strict reader refuses what JSON leaves doubtful (RFC 8259, RFC 7493), all at once."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from apps.records.errors import InvalidRecord, MalformedJson, TooLarge, pointer_of
from apps.records.strict_json import MAX_BYTES, MAX_SAFE_INTEGER, loads_strict, nulls

TEN_MEGABYTES = 10 * 1024 * 1024


def codes(data: bytes, **options: Any) -> list[tuple[str, str]]:
    with pytest.raises(InvalidRecord) as caught:
        loads_strict(data, **options)
    return [(error.pointer, error.code) for error in caught.value.errors]


def test_plain_json_is_read_as_it_is() -> None:
    data = b' {"a":[1,-2,"x",true,false,null],"b":{"c":"\\u00e9"}} '
    assert loads_strict(data) == {"a": [1, -2, "x", True, False, None], "b": {"c": "é"}}


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (b"\xef\xbb\xbf{}", [("", "byte-order-mark")]),
        (b'{"a":"\xff"}', [("", "not-utf-8")]),
        (b'{"a":1} x', [("", "not-json")]),
        (b"", [("", "not-json")]),
        (b"{'a':1}", [("", "not-json")]),
        (b'{"a":1,}', [("", "not-json")]),
        (b'{"a":"\t"}', [("", "not-json")]),
        (b'{"a":01}', [("", "not-json")]),
        (b'{"a":1,"a":1}', [("/a", "duplicate-key")]),
        (b'{"a":{"b":1,"b":2}}', [("/a/b", "duplicate-key")]),
        (b'{"a":NaN,"b":[Infinity,-Infinity]}', [
            ("/a", "not-a-number"),
            ("/b/0", "not-a-number"),
            ("/b/1", "not-a-number"),
        ]),
        (b'{"a":0.5,"b":1e2}', [("/a", "fraction"), ("/b", "fraction")]),
        (b'{"a":9007199254740992}', [("/a", "integer-too-large")]),
        (b'{"a":-9007199254740992}', [("/a", "integer-too-large")]),
        (b'{"a":' + b"9" * 5000 + b"}", [("/a", "number-too-long")]),
        (b'{"a":"\\ud83d"}', [("/a", "lone-surrogate")]),
        (b'{"\\ude00":1}', [("/?", "lone-surrogate")]),
        (b'{"a/b~":0.5}', [("/a~1b~0", "fraction")]),
    ],
)  # fmt: skip
def test_doubtful_json_is_refused_with_its_place(
    data: bytes, expected: list[tuple[str, str]]
) -> None:
    assert codes(data) == expected


def test_the_largest_safe_integer_passes() -> None:
    assert loads_strict(b"[9007199254740991]") == [MAX_SAFE_INTEGER]


def test_a_whole_surrogate_pair_passes() -> None:
    assert loads_strict(b'["\\ud83d\\ude00"]') == ["\U0001f600"]


@pytest.mark.parametrize("opening", [b"[", b'{"a":'])
def test_nesting_is_counted_without_falling_into_it(opening: bytes) -> None:
    assert codes(opening * 5000) == [("", "too-deep")]
    assert codes(opening * 2_000_000, max_bytes=TEN_MEGABYTES) == [("", "too-deep")]


def test_sixteen_levels_pass_and_brackets_in_strings_do_not_count() -> None:
    assert loads_strict(b"[" * 16 + b"]" * 16) is not None
    assert codes(b"[" * 17 + b"]" * 17) == [("", "too-deep")]
    text = '"' + "[" * 50 + '\\"{"'
    assert loads_strict(text.encode()) == "[" * 50 + '"{'


def test_a_string_that_never_ends_is_read_once() -> None:
    # Looked for anew at each of its quotes, its end would be missed for hours.
    assert codes(b'"\\' * 2_000_000, max_bytes=TEN_MEGABYTES) == [("", "not-json")]


def test_ten_megabytes_are_refused_unread() -> None:
    with pytest.raises(TooLarge) as caught:
        loads_strict(b'"' + b"x" * TEN_MEGABYTES + b'"')
    assert caught.value.errors[0].code == "too-large"
    assert str(MAX_BYTES) in caught.value.errors[0].message


def test_the_size_limit_itself_passes() -> None:
    assert len(loads_strict(b'"' + b"x" * (MAX_BYTES - 2) + b'"')) == MAX_BYTES - 2


def test_fractions_come_exactly_as_written_when_allowed() -> None:
    read = loads_strict(b"[0.505,1e2,0.1]", allow_fractions=True)
    assert read == [Decimal("0.505"), Decimal("1E+2"), Decimal("0.1")]
    assert all(isinstance(number, Decimal) for number in read)


@pytest.mark.parametrize("number", [b"1e999999999", b"1E-999999999999999999999", b"0." + b"1" * 60])
def test_absurd_fractions_are_refused(number: bytes) -> None:
    assert codes(b"[" + number + b"]", allow_fractions=True) == [("/0", "number-too-long")]


def test_a_malformed_text_is_one_of_the_record_errors() -> None:
    with pytest.raises(MalformedJson, match="line 1, column 2"):
        loads_strict(b"{")


def test_every_null_is_found() -> None:
    found = [e.pointer for e in nulls({"a": None, "b": [1, None], "c": {"d": None}, "e": "x"})]
    assert found == ["/a", "/b/1", "/c/d"]
    assert [error.pointer for error in nulls(None)] == [""]


def test_pointers_follow_rfc_6901() -> None:
    # RFC 6901 section 5, the examples with characters that must be escaped.
    assert pointer_of("a/b") == "/a~1b"
    assert pointer_of("m~n") == "/m~0n"
    assert pointer_of("foo", 0) == "/foo/0"
    assert pointer_of("") == "/"
    assert pointer_of() == ""
