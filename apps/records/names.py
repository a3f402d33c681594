"""Names that identify: shop handles, tags, record and key ids, salts, aliases, GS1 keys."""

from __future__ import annotations

import re

from apps.records.forms import Form, Mode, fault, shown
from apps.records.texts import character_name

CODE_PATTERN = r"[a-z0-9]([a-z0-9-]{0,30}[a-z0-9])?"
HOST_PATTERN = r"[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?(\.[a-z0-9]([a-z0-9-]{0,61}[a-z0-9])?)+"
HANDLE_LENGTH = 120
NODE_CODE = "node"
TAG_LENGTH = 40
TAG_PATTERN = r"[A-Z0-9]([A-Z0-9._-]{0,38}[A-Z0-9])?"
DRAFT_TAG_PATTERN = r"[A-Za-z0-9]([A-Za-z0-9._-]{0,38}[A-Za-z0-9])?"

_CODE = re.compile(CODE_PATTERN, re.ASCII)
_HANDLE = re.compile(f"{CODE_PATTERN}@{HOST_PATTERN}", re.ASCII)
_TAG = re.compile(TAG_PATTERN, re.ASCII)
_TAG_CHARACTERS = frozenset("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789._-")


def shop_code(handle: str) -> str:
    """Give the part of a shop handle before the node's host."""
    return handle.partition("@")[0]


def node_host(handle: str) -> str:
    """Give the host of the node that a shop handle belongs to."""
    return handle.partition("@")[2]


def check_handle(value: str, mode: Mode) -> str:
    """Read a shop handle `code@node-host`; in drafts the node completes a code alone."""
    handle = value
    if mode.draft and mode.node_host and _CODE.fullmatch(value):
        handle = f"{value}@{mode.node_host}"
    if len(handle) > HANDLE_LENGTH or not _HANDLE.fullmatch(handle):
        raise fault(
            "not-a-handle",
            f"{shown(value)} is no shop handle; write it in lower case as code@node-host, "
            'e.g. "fellbench@node.example".',
        )
    return handle


def check_shop_handle(value: str, mode: Mode) -> str:
    """Read the handle of a shop: any but the node's own."""
    handle = check_handle(value, mode)
    if shop_code(handle) == NODE_CODE:
        raise fault(
            "reserved-handle", f"{shown(handle)} is the node itself, no shop; give a shop's handle."
        )
    return handle


def check_node_handle(value: str, mode: Mode) -> str:
    """Read the handle of a node, `node@node-host`."""
    handle = check_handle(value, mode)
    if shop_code(handle) != NODE_CODE:
        raise fault(
            "not-the-node",
            f"{shown(handle)} is a shop; a node writes this, as {NODE_CODE}@ and its host.",
        )
    return handle


def node_handle(host: str) -> str:
    """Give the handle under which the node of a host writes."""
    return f"{NODE_CODE}@{host}"


def check_tag(value: str, mode: Mode) -> str:
    """Read a tag; in drafts lower case is made upper case, nothing else is mended."""
    tag = value.upper() if mode.draft and value.isascii() else value
    if not tag:
        raise fault("empty-tag", "The tag is empty; give the one on the label.")
    if len(tag) > TAG_LENGTH:
        raise fault("tag-too-long", f"A tag has at most {TAG_LENGTH} characters; shorten it.")
    stranger = next((c for c in tag if c not in _TAG_CHARACTERS), None)
    if stranger is not None:
        raise fault("tag-character", _stranger_sentence(stranger))
    if not _TAG.fullmatch(tag):
        raise fault("tag-ends", "A tag begins and ends with a letter or a digit; drop the mark.")
    return tag


def _stranger_sentence(character: str) -> str:
    if character.islower() and character.isascii():
        return "A record writes its tag in capitals; write this one in capitals."
    name = "a blank" if character == " " else character_name(character)
    return f"A tag holds A to Z, 0 to 9, full stop, low line and hyphen only; take out {name}."


def pattern_form(pattern: str, code: str, mend: str) -> Form:
    """Make a form that is one regular expression, the same in both modes."""
    compiled = re.compile(pattern, re.ASCII)

    def check(value: str, _mode: Mode) -> str:
        if not compiled.fullmatch(value):
            raise fault(code, f"{shown(value)} does not fit here: {mend}")
        return value

    return Form(check, {"pattern": f"^{pattern}$"})


HANDLE_FORM = Form(
    check_handle,
    {"pattern": f"^{CODE_PATTERN}@{HOST_PATTERN}$", "maxLength": HANDLE_LENGTH},
    {"pattern": f"^{CODE_PATTERN}(@{HOST_PATTERN})?$"},
)
SHOP_HANDLE_FORM = Form(
    check_shop_handle,
    {"pattern": f"^(?!{NODE_CODE}@){CODE_PATTERN}@{HOST_PATTERN}$", "maxLength": HANDLE_LENGTH},
    {"pattern": f"^(?!{NODE_CODE}(@|$)){CODE_PATTERN}(@{HOST_PATTERN})?$"},
)
NODE_HANDLE_FORM = Form(
    check_node_handle,
    {"pattern": f"^{NODE_CODE}@{HOST_PATTERN}$", "maxLength": HANDLE_LENGTH},
    {"pattern": f"^{NODE_CODE}(@{HOST_PATTERN})?$"},
)
TAG_FORM = Form(
    check_tag,
    {"pattern": f"^{TAG_PATTERN}$"},
    {"pattern": f"^{DRAFT_TAG_PATTERN}$"},
)
RECORD_ID_FORM = pattern_form(
    "[0-9a-f]{64}", "not-a-record-id", "a record id is 64 lower-case hexadecimal digits."
)
KEY_ID_FORM = pattern_form(
    "[A-Za-z0-9_-]{43}", "not-a-key-id", "a key id is 43 characters of base64url."
)
# The last character holds four or two bits of the bytes; any other would be a second way to write
# the same bytes.
PUBLIC_KEY_FORM = pattern_form(
    "[A-Za-z0-9_-]{42}[AEIMQUYcgkosw048]",
    "not-a-public-key",
    "a public key is 32 bytes in base64url without padding, 43 characters.",
)
SIGNATURE_FORM = pattern_form(
    "[A-Za-z0-9_-]{85}[AQgw]",
    "not-a-signature",
    "a signature is 64 bytes in base64url without padding, 86 characters.",
)
SALT_FORM = pattern_form(
    "[0-9a-f]{32}", "not-a-salt", "a salt is 32 lower-case hexadecimal digits."
)
ALIAS_FORM = pattern_form(
    "[A-Za-z0-9][A-Za-z0-9._-]{0,31}",
    "not-an-alias",
    "an alias has up to 32 letters, digits, full stops, low lines or hyphens, "
    "and begins with a letter or digit.",
)
GIAI_FORM = pattern_form(
    '[!"%-?A-Z_a-z]{1,30}', "not-a-giai", "a GIAI has 1 to 30 characters of GS1 set 82."
)
GRAI_FORM = pattern_form(
    '[0-9]{14}[!"%-?A-Z_a-z]{0,16}',
    "not-a-grai",
    "a GRAI has 14 digits and up to 16 characters of GS1 set 82 after them.",
)
