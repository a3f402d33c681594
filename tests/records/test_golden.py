"""The golden records come out the same, byte for byte, and any Ed25519 verifies them."""

from __future__ import annotations

import hashlib
import json

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from apps.records.kinds import KINDS
from apps.records.reading import read_record
from apps.records.signing import PublicKey, from_base64url
from tests.records.make_golden import FOLDER, golden_records, golden_text

NAMES = sorted(golden_records())


def test_the_folder_holds_the_golden_records_and_nothing_else() -> None:
    assert sorted(path.stem for path in FOLDER.iterdir()) == NAMES


def test_every_kind_has_a_golden_record() -> None:
    kinds = {golden["document"]["kind"] for golden in golden_records().values()}
    assert kinds == set(KINDS)


@pytest.mark.parametrize("name", NAMES)
def test_a_golden_record_comes_out_the_same(name: str) -> None:
    kept = (FOLDER / f"{name}.json").read_text(encoding="utf-8")
    assert golden_text(golden_records()[name]) == kept


@pytest.mark.parametrize("name", NAMES)
def test_a_kept_golden_record_reads_and_verifies(name: str) -> None:
    kept = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    data = bytes.fromhex(kept["canonical_hex"])
    assert read_record(data).__class__ is KINDS[kept["document"]["kind"]].record
    assert json.loads(data) == kept["document"]
    # hashlib and the cryptography package are the outside check on id and signature.
    assert hashlib.sha256(data).hexdigest() == kept["id"]
    raw_key, raw_signature = from_base64url(kept["public_key"]), from_base64url(kept["signature"])
    assert raw_key is not None
    assert raw_signature is not None
    Ed25519PublicKey.from_public_bytes(raw_key).verify(raw_signature, data)
    assert PublicKey(raw_key).key_id == kept["document"]["key"]
