"""Canonical bytes and ids against the published vectors of RFC 8785 and FIPS 180-4."""

from __future__ import annotations

import json
import struct

import pytest

from apps.records.canonical import canonical_bytes, record_id
from apps.records.errors import InvalidRecord

RFC_8785_SAMPLE = (
    r'{"numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],'
    r'"string": "\u20ac$\u000F\u000aA' + r"'" + r'\u0042\u0022\u005c\\\"\/",'
    r'"literals": [null, true, false]}'
)
RFC_8785_CANONICAL = (
    '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],'
    '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}'
)

# RFC 8785 Appendix B: IEEE 754 double in hexadecimal, and its text.
RFC_8785_APPENDIX_B = [
    ("0000000000000000", "0"),
    ("8000000000000000", "0"),
    ("0000000000000001", "5e-324"),
    ("8000000000000001", "-5e-324"),
    ("7fefffffffffffff", "1.7976931348623157e+308"),
    ("ffefffffffffffff", "-1.7976931348623157e+308"),
    ("4340000000000000", "9007199254740992"),
    ("c340000000000000", "-9007199254740992"),
    ("4430000000000000", "295147905179352830000"),
    ("44b52d02c7e14af5", "9.999999999999997e+22"),
    ("44b52d02c7e14af6", "1e+23"),
    ("44b52d02c7e14af7", "1.0000000000000001e+23"),
    ("444b1ae4d6e2ef4e", "999999999999999700000"),
    ("444b1ae4d6e2ef4f", "999999999999999900000"),
    ("444b1ae4d6e2ef50", "1e+21"),
    ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"),
    ("3eb0c6f7a0b5ed8d", "0.000001"),
    ("41b3de4355555553", "333333333.3333332"),
    ("41b3de4355555554", "333333333.33333325"),
    ("41b3de4355555555", "333333333.3333333"),
    ("41b3de4355555556", "333333333.3333334"),
    ("41b3de4355555557", "333333333.33333343"),
    ("becbf647612f3696", "-0.0000033333333333333333"),
    ("43143ff3c1cb0959", "1424953923781206.2"),
]

# RFC 8785 section 3.2.3: member names sort by their UTF-16 code units.
RFC_8785_SORTED = [
    ("\r", "Carriage Return"),
    ("1", "One"),
    ("\x80", "Control\x7f"),
    ("ö", "Latin Small Letter O With Diaeresis"),
    ("€", "Euro Sign"),
    ("\U0001f600", "Emoji: Grinning Face"),
    ("\ufb33", "Hebrew Letter Dalet With Dagesh"),
]


def test_sample_of_rfc_8785_section_3_2() -> None:
    data = canonical_bytes(json.loads(RFC_8785_SAMPLE))
    assert data.decode() == RFC_8785_CANONICAL
    assert record_id(data) == "2d5e01a318d0f0879ab568c4be289c8b1f64ef8921a53c6277d5e069978baacb"


@pytest.mark.parametrize(("double", "text"), RFC_8785_APPENDIX_B)
def test_numbers_of_rfc_8785_appendix_b(double: str, text: str) -> None:
    (number,) = struct.unpack(">d", bytes.fromhex(double))
    assert canonical_bytes({"n": number}) == f'{{"n":{text}}}'.encode()


@pytest.mark.parametrize("double", ["7fffffffffffffff", "7ff0000000000000"])
def test_rfc_8785_appendix_b_has_no_text_for_nan_and_infinity(double: str) -> None:
    (number,) = struct.unpack(">d", bytes.fromhex(double))
    with pytest.raises(InvalidRecord) as caught:
        canonical_bytes({"n": number})
    assert caught.value.errors[0].code == "no-canonical-form"


def test_member_order_of_rfc_8785_section_3_2_3() -> None:
    data = canonical_bytes(dict(sorted(RFC_8785_SORTED)))
    assert list(json.loads(data).items()) == RFC_8785_SORTED


@pytest.mark.parametrize("document", [{"n": 2**53}, {"s": "\ud800"}, {"s": object()}])
def test_what_has_no_canonical_form_is_refused(document: dict[str, object]) -> None:
    with pytest.raises(InvalidRecord, match="no canonical form"):
        canonical_bytes(document)


def test_id_of_nothing_is_the_published_digest() -> None:
    # FIPS 180-4 / NIST example values: SHA-256 of the empty message and of "abc".
    assert record_id(b"") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
    assert record_id(b"abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
