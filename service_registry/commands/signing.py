"""Commands for a shop that keeps its own key: they need no node and no database."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from apps.records.canonical import canonical_bytes, record_id
from apps.records.errors import MalformedKey
from apps.records.forms import Mode
from apps.records.key_proof import prove
from apps.records.names import check_shop_handle, node_host
from apps.records.reading import compose, read_draft
from apps.records.signing import PrivateKey, base64url, from_base64url
from apps.records.strict_json import loads_strict
from apps.registry.errors import InvalidSetting

if TYPE_CHECKING:
    from argparse import _SubParsersAction

OWNER_ONLY = 0o600


@dataclass(frozen=True, slots=True)
class OwnKey:
    """A key file as it was read: the shop, and the key that signs for it."""

    shop: str
    key: PrivateKey


def add_to(commands: _SubParsersAction[argparse.ArgumentParser]) -> None:
    """Add ``new-key`` and ``sign``."""
    new = commands.add_parser(
        "new-key", help="make a signing key that the shop keeps, and the proof to register it"
    )
    new.add_argument("shop", type=_handle, help="handle of the shop, code@node-host")
    new.add_argument("--file", type=Path, required=True, help="new file for the private key")
    new.set_defaults(command=new_key)
    sign = commands.add_parser("sign", help="sign a record with a key that the shop keeps")
    sign.add_argument("draft", help="JSON file with kind, ski, performed_at and body; - for stdin")
    sign.add_argument("--key", type=Path, required=True, help="file that new-key made")
    sign.set_defaults(command=sign_record)


def _handle(text: str) -> str:
    from pydantic_core import PydanticCustomError

    try:
        return check_shop_handle(text, Mode())
    except PydanticCustomError as error:
        raise argparse.ArgumentTypeError(error.message()) from error


def new_key(options: argparse.Namespace) -> int:
    """Make a key, keep its private half in a file, and print what registers it."""
    key = PrivateKey.generate()
    secret = {"shop": options.shop, "private": base64url(key.seed)}
    _write_secret(options.file, json.dumps(secret) + "\n")
    print(json.dumps({"public": key.public.text, "proof": prove(key, options.shop)}))
    print(
        f"The private key is in {options.file}; whoever reads that file signs as {options.shop}. "
        "Send the line above to POST /api/v1/keys, or to the operator of the node.",
        file=sys.stderr,
    )
    return 0


def _write_secret(path: Path, text: str) -> None:
    try:
        # An existing file is never overwritten: it may hold the only copy of another key.
        descriptor = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, OWNER_ONLY)
        with os.fdopen(descriptor, "w", encoding="ascii") as file:
            file.write(text)
    except OSError as error:
        sentence = f"The file {path} can't be made: {error.strerror}. Give a new one."
        raise InvalidSetting(sentence) from error


def sign_record(options: argparse.Namespace) -> int:
    """Make a record of a draft, sign it, and print the body of its PUT."""
    own = _read_key(options.key)
    draft = _object(_read(options.draft), options.draft)
    kind = str(draft.pop("kind", ""))
    read = read_draft(kind, draft, node_host=node_host(own.shop))
    document = compose(read, author=own.shop, key=own.key.key_id)
    data = canonical_bytes(document)
    print(f'{{"record":{data.decode()},"signature":"{own.key.sign_text(data)}"}}')
    print(f"Send it to PUT /api/v1/records/{record_id(data)}", file=sys.stderr)
    return 0


def _read_key(path: Path) -> OwnKey:
    secret = _object(_readable(path.read_bytes, path), path)
    seed = from_base64url(str(secret.get("private", "")))
    try:
        return OwnKey(_handle(str(secret.get("shop", ""))), PrivateKey.from_seed(seed or b""))
    except (argparse.ArgumentTypeError, MalformedKey) as error:
        sentence = f"{path} is no key file of `service-registry new-key`: {error}"
        raise InvalidSetting(sentence) from error


def _read(name: str) -> bytes:
    return sys.stdin.buffer.read() if name == "-" else _readable(Path(name).read_bytes, name)


def _readable(read: Callable[[], bytes], name: object) -> bytes:
    try:
        return read()
    except OSError as error:
        raise InvalidSetting(f"{name} can't be read: {error.strerror}.") from error


def _object(data: bytes, name: object) -> dict[str, Any]:
    document = loads_strict(data, allow_fractions=True)
    if not isinstance(document, dict):
        raise InvalidSetting(f"{name} holds no JSON object; begin it with a brace.")
    return document
