"""Handles, tags and ids: what is read from a wet label and typed by hand."""

from __future__ import annotations

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic_core import PydanticCustomError

from apps.records.forms import Form, Mode, shown
from apps.records.names import (
    ALIAS_FORM,
    GIAI_FORM,
    GRAI_FORM,
    HANDLE_FORM,
    KEY_ID_FORM,
    NODE_HANDLE_FORM,
    PUBLIC_KEY_FORM,
    RECORD_ID_FORM,
    SALT_FORM,
    SHOP_HANDLE_FORM,
    SIGNATURE_FORM,
    TAG_FORM,
    node_handle,
    node_host,
    shop_code,
)
from apps.records.signing import base64url, from_base64url

STRICT = Mode()
DRAFT = Mode(draft=True, node_host="node.example")
BASE64URL = string.ascii_letters + string.digits + "-_"
RTL_OVERRIDE = "\u202e"

# GS1 General Specifications, figure of the AI encodable character set 82.
GS1_SET_82 = "!\"%&'()*+,-./0123456789:;<=>?ABCDEFGHIJKLMNOPQRSTUVWXYZ_abcdefghijklmnopqrstuvwxyz"


def refusal(form: Form, value: str, mode: Mode) -> tuple[str, str]:
    with pytest.raises(PydanticCustomError) as caught:
        form.check(value, mode)
    return caught.value.type, caught.value.message()


@pytest.mark.parametrize("tag", ["A", "7", "FB-0042", "A.B_C-D", "X" * 40])
def test_a_tag_is_kept_as_it_is(tag: str) -> None:
    assert TAG_FORM.check(tag, STRICT) == tag


def test_a_draft_tag_is_made_upper_case() -> None:
    assert TAG_FORM.check("fb-0042", DRAFT) == "FB-0042"


@pytest.mark.parametrize(
    ("tag", "code", "said"),
    [
        ("", "empty-tag", "is empty"),
        ("A B", "tag-character", "take out a blank"),
        ("A\x00B", "tag-character", "U+0000"),
        ("A\nB", "tag-character", "U+000A"),
        (f"A{RTL_OVERRIDE}B", "tag-character", "right-to-left override"),
        ("A\u200fB", "tag-character", "right-to-left mark"),
        ("A/B", "tag-character", "solidus"),
        ("Ä1", "tag-character", "latin capital letter a with diaeresis"),
        ("ß", "tag-character", "latin small letter sharp s"),
        ("\N{GREEK CAPITAL LETTER ALPHA}1", "tag-character", "greek capital letter alpha"),
        ("-A", "tag-ends", "begins and ends"),
        ("A.", "tag-ends", "begins and ends"),
        ("X" * 41, "tag-too-long", "at most 40"),
        ("X" * 500, "tag-too-long", "at most 40"),
    ],
)
@pytest.mark.parametrize("mode", [STRICT, DRAFT])
def test_a_tag_that_misleads_is_refused(tag: str, code: str, said: str, mode: Mode) -> None:
    found, sentence = refusal(TAG_FORM, tag, mode)
    assert found == code
    assert said in sentence


def test_a_record_holds_its_tag_in_capitals() -> None:
    assert refusal(TAG_FORM, "fb", STRICT) == (
        "tag-character",
        "A record writes its tag in capitals; write this one in capitals.",
    )


@pytest.mark.parametrize("handle", ["a@b.c", "fellbench@node.example", "x-1@localhost.invalid"])
def test_a_handle_names_shop_and_node(handle: str) -> None:
    assert HANDLE_FORM.check(handle, STRICT) == handle
    assert f"{shop_code(handle)}@{node_host(handle)}" == handle


def test_a_draft_may_give_the_code_alone() -> None:
    assert HANDLE_FORM.check("fellbench", DRAFT) == "fellbench@node.example"


@pytest.mark.parametrize(
    "handle",
    [
        "fellbench",
        "fellbench@",
        "fellbench@node",
        "Fellbench@node.example",
        "fell bench@node.example",
        "-a@node.example",
        "a-@node.example",
        "a@node..example",
        "a@-node.example",
        "a@node.example.",
        "a@b@node.example",
        "a" * 33 + "@node.example",
        "a@" + "b" * 64 + ".example",
        "a@" + ".".join(["b" * 50] * 3),
        "",
    ],
)
def test_what_is_no_handle_is_refused(handle: str) -> None:
    code, sentence = refusal(HANDLE_FORM, handle, STRICT)
    assert code == "not-a-handle"
    assert "code@node-host" in sentence


def test_a_code_without_a_node_stays_unfinished() -> None:
    assert refusal(HANDLE_FORM, "fellbench", Mode(draft=True))[0] == "not-a-handle"


@pytest.mark.parametrize(
    ("form", "good"),
    [
        (RECORD_ID_FORM, "0a" * 32),
        (KEY_ID_FORM, "kPrK_qmxVWaYVA9wwBF6Iuo3vVzz7TxHCTwXBygrS4k"),
        (SALT_FORM, "0f" * 16),
        (ALIAS_FORM, "t7"),
        (GIAI_FORM, "4000001ABC/9"),
        (GRAI_FORM, "04000001123457A9"),
    ],
)
def test_ids_keep_their_length_and_alphabet(form: Form, good: str) -> None:
    assert form.check(good, STRICT) == good
    for bad in ("", good + "\n", good.replace(good[0], " "), good * 40, good[:-1] + "é"):
        _, sentence = refusal(form, bad, STRICT)
        assert sentence.endswith(".")


def test_every_character_of_gs1_set_82_fits_a_giai() -> None:
    assert len(GS1_SET_82) == 82
    accepted = {c for c in map(chr, range(0x250)) if _accepts(GIAI_FORM, c)}
    assert accepted == set(GS1_SET_82)


def _accepts(form: Form, value: str) -> bool:
    try:
        return form.check(value, STRICT) == value
    except PydanticCustomError:
        return False


def test_a_value_is_shown_short_and_harmless() -> None:
    assert shown("x" * 500) == "`" + "x" * 40 + "…`"
    assert shown(f"a{RTL_OVERRIDE}b\x1b") == "`a<U+202E>b<U+001B>`"
    assert shown(5) == "`5`"


@pytest.mark.parametrize("handle", ["fellbench@node.example", "node-1@node.example"])
def test_a_shop_is_no_node(handle: str) -> None:
    assert SHOP_HANDLE_FORM.check(handle, STRICT) == handle
    code, said = refusal(NODE_HANDLE_FORM, handle, STRICT)
    assert code == "not-the-node"
    assert "a node writes this" in said


def test_a_node_is_no_shop() -> None:
    handle = node_handle("node.example")
    assert handle == "node@node.example"
    assert NODE_HANDLE_FORM.check(handle, STRICT) == handle
    assert NODE_HANDLE_FORM.check("node", DRAFT) == handle
    for value, mode in ((handle, STRICT), (handle, DRAFT), ("node", DRAFT)):
        code, said = refusal(SHOP_HANDLE_FORM, value, mode)
        assert code == "reserved-handle"
        assert "give a shop's handle" in said


# RFC 4648 sections 3.5 and 5: the one way to write bytes, whose unused bits are nought.
@pytest.mark.parametrize(("form", "size"), [(PUBLIC_KEY_FORM, 32), (SIGNATURE_FORM, 64)])
@given(data=st.data())
def test_bytes_are_written_in_one_way(form: Form, size: int, data: st.DataObject) -> None:
    text = base64url(data.draw(st.binary(min_size=size, max_size=size)))
    assert form.check(text, STRICT) == text
    other = text[:-1] + data.draw(st.sampled_from(BASE64URL))
    if from_base64url(other) is None:
        assert refusal(form, other, STRICT)[0].startswith("not-a-")
    else:
        assert form.check(other, STRICT) == other
    assert refusal(form, text + "A", STRICT)
    assert refusal(form, text[:-1], STRICT)
