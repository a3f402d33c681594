"""What a shop that keeps its own key runs: neither command touches a database."""

from __future__ import annotations

import io
import json
import stat
from pathlib import Path

import pytest

from apps.records.canonical import canonical_bytes, record_id
from apps.records.examples import example_draft
from apps.records.key_proof import proof_holds
from apps.records.signing import PublicKey
from apps.registry import models
from apps.registry.actors import shop_actor
from apps.registry.door import append_records
from apps.registry.submissions import Submission
from service_registry.__main__ import main

HANDLE = "fellbench@localhost.invalid"
Captured = pytest.CaptureFixture[str]


@pytest.fixture
def key_file(tmp_path: Path) -> Path:
    return tmp_path / "fellbench.key"


def made(key_file: Path, captured: Captured, shop: str = HANDLE) -> dict[str, str]:
    assert main(["new-key", shop, "--file", str(key_file)]) == 0
    printed: dict[str, str] = json.loads(captured.readouterr().out)
    return printed


def a_draft(folder: Path, kind: str = "description") -> Path:
    path = folder / "draft.json"
    ski = {"shop": "fellbench", "tag": "FB-0042"}
    document = {"kind": kind, **example_draft(kind), "ski": ski}
    path.write_text(json.dumps(document), encoding="utf-8")
    return path


def test_a_new_key_proves_itself_and_is_the_owners_to_read(
    key_file: Path, capsys: Captured
) -> None:
    printed = made(key_file, capsys)
    public = PublicKey.from_text(printed["public"])
    assert proof_holds(public, HANDLE, printed["proof"]).holds
    assert stat.S_IMODE(key_file.stat().st_mode) == 0o600
    assert printed["public"] not in key_file.read_text(encoding="ascii")


def test_a_key_is_never_overwritten(key_file: Path, capsys: Captured) -> None:
    made(key_file, capsys)
    kept = key_file.read_bytes()
    assert main(["new-key", HANDLE, "--file", str(key_file)]) == 1
    assert "can't be made" in capsys.readouterr().err
    assert key_file.read_bytes() == kept


@pytest.mark.parametrize("shop", ["fellbench", "node@localhost.invalid"])
def test_a_key_is_for_the_handle_of_a_shop(shop: str, key_file: Path, capsys: Captured) -> None:
    with pytest.raises(SystemExit):
        main(["new-key", shop, "--file", str(key_file)])
    assert "shop" in capsys.readouterr().err
    assert not key_file.exists()


@pytest.mark.django_db(transaction=True)
def test_from_a_new_key_to_a_record_in_the_log(
    key_file: Path, tmp_path: Path, capsys: Captured
) -> None:
    assert main(["add-shop", "fellbench"]) == 0
    capsys.readouterr()
    new = made(key_file, capsys)
    told = ["--public", new["public"], "--proof", new["proof"]]
    assert main(["register-key", "fellbench", *told]) == 0
    assert f"{HANDLE} signs with" in capsys.readouterr().out
    assert main(["sign", str(a_draft(tmp_path)), "--key", str(key_file)]) == 0
    printed = capsys.readouterr()
    body = json.loads(printed.out)
    data = canonical_bytes(body["record"])
    assert f"PUT /api/v1/records/{record_id(data)}" in printed.err
    submission = Submission(data=data, signature=body["signature"])
    (appended,) = append_records(submissions=[submission], by=shop_actor(HANDLE))
    assert (appended.is_new, appended.rank) == (True, "shop-signed")
    assert models.Record.objects.get(id=appended.record_id).author == HANDLE


def test_a_draft_may_come_from_elsewhere(
    key_file: Path, tmp_path: Path, capsys: Captured, monkeypatch: pytest.MonkeyPatch
) -> None:
    made(key_file, capsys)
    data = a_draft(tmp_path, "usage").read_bytes()
    monkeypatch.setattr("sys.stdin", io.TextIOWrapper(io.BytesIO(data)))
    assert main(["sign", "-", "--key", str(key_file)]) == 0
    record = json.loads(capsys.readouterr().out)["record"]
    assert (record["kind"], record["author"]) == ("usage", HANDLE)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[]", "begin it with a brace"),
        ("{", "JSON"),
        ('{"kind": "poem"}', "No kind `poem`"),
        ('{"kind": "usage", "body": {}}', "/body/days"),
    ],
)
def test_a_draft_that_is_none(
    text: str, words: str, key_file: Path, tmp_path: Path, capsys: Captured
) -> None:
    made(key_file, capsys)
    path = tmp_path / "draft.json"
    path.write_text(text, encoding="utf-8")
    assert main(["sign", str(path), "--key", str(key_file)]) == 1
    assert words in capsys.readouterr().err


@pytest.mark.parametrize(
    "text", ["{}", '{"shop": "fellbench@localhost.invalid", "private": "short"}', '{"shop": "x"}']
)
def test_a_file_that_is_no_key(text: str, key_file: Path, tmp_path: Path, capsys: Captured) -> None:
    key_file.write_text(text, encoding="ascii")
    assert main(["sign", str(a_draft(tmp_path)), "--key", str(key_file)]) == 1
    assert "is no key file" in capsys.readouterr().err


def test_files_that_are_not_there(key_file: Path, tmp_path: Path, capsys: Captured) -> None:
    assert main(["sign", str(a_draft(tmp_path)), "--key", str(key_file)]) == 1
    assert "can't be read" in capsys.readouterr().err
    made(key_file, capsys)
    assert main(["sign", str(tmp_path / "none.json"), "--key", str(key_file)]) == 1
    assert "can't be read" in capsys.readouterr().err
