"""The commands that import a file for a shop and export its records."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from apps.exchange.visit_columns import COLUMNS
from apps.registry.models import Record
from service_registry.__main__ import main

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def shop() -> str:
    assert main(["add-shop", "fellbench"]) == 0
    return "fellbench"


def about_skis() -> int:
    return Record.objects.filter(subject__isnull=False).count()


def test_a_table_is_imported_once(
    shop: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "visits.csv"
    file.write_text("date;tag;side_bevel_deg\n31.01.2025;fb-1;2,5\n", encoding="utf-8")
    form = ["--decimal", "comma", "--dates", "day-first", "--delimiter", "semicolon"]
    assert main(["import", shop, str(file), *form]) == 0
    assert "Written: 1. Here before: 0. Refused: 0." in capsys.readouterr().out
    assert main(["import", shop, str(file), *form]) == 0
    assert "Written: 0. Here before: 1. Refused: 0." in capsys.readouterr().out
    assert about_skis() == 2


def test_a_table_with_faults_is_told_by_line_and_column(
    shop: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "visits.txt"
    file.write_text("date,tag,work\n2025-01-31,fb-1,wax\n2025-13-01,fb-1,wax\n", encoding="utf-8")
    assert main(["import", shop, str(file), "--format", "csv"]) == 1
    told = capsys.readouterr().err
    assert "Line 3, column date:" in told
    assert "Nothing was written." in told
    assert about_skis() == 0


def test_lines_are_imported_and_refused_ones_told(
    shop: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    ski = {"shop": shop, "tag": "FB-1"}
    rest = {"ski": ski, "performed_at": "2025-01-31"}
    documents = [
        {"kind": "description", **rest, "body": {}},
        {"kind": "usage", **rest, "body": {"days": -1}},
        {"kind": "usage", **rest, "body": {"days": 1}},
    ]
    file = tmp_path / "records.ndjson"
    file.write_text("".join(json.dumps(one) + "\n" for one in documents) + "{\n", encoding="utf-8")
    assert main(["import", shop, str(file)]) == 1
    out, err = capsys.readouterr()
    assert "Written: 2. Here before: 0. Refused: 2." in out
    assert "Line 2, /body/days:" in err
    assert "Line 4: Not JSON" in err
    assert main(["import", shop, str(file), "--whole"]) == 1
    assert "Nothing was written" in capsys.readouterr().err


def test_an_export_is_a_file_that_can_be_imported(
    shop: str, tmp_path: Path, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    file, out = tmp_path / "visits.csv", tmp_path / "records.ndjson"
    file.write_text("date,tag,work\n2025-01-31,fb-1,wax\n", encoding="utf-8")
    assert main(["import", shop, str(file)]) == 0
    assert main(["export", shop, "--output", str(out)]) == 0
    capfdbinary.readouterr()
    assert main(["export", shop]) == 0
    assert capfdbinary.readouterr().out == out.read_bytes()
    assert main(["import", shop, str(out), "--whole"]) == 0
    assert b"Here before: 2. Refused: 0. Passed over: 1." in capfdbinary.readouterr().out
    assert main(["export", shop, "--from", "0", "--until", "1"]) == 0
    end = json.loads(capfdbinary.readouterr().out)["end"]
    assert (end["count"], end["from"], end["until"]) == (0, 0, 1)


def test_an_export_writes_over_no_file(
    shop: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    out = tmp_path / "records.ndjson"
    out.write_text("mine")
    assert main(["export", shop, "--output", str(out)]) == 1
    assert "can't be written" in capsys.readouterr().err
    assert out.read_text() == "mine"


@pytest.mark.parametrize(
    ("arguments", "hint"),
    [
        (["import", "nobody", "x.csv"], "There is no shop nobody@"),
        (["export", "nobody"], "There is no shop nobody@"),
        (["import", "fellbench", "none.csv"], "none.csv can't be read"),
        (["import", "fellbench", "visits.xlsx"], "Say with --format"),
    ],
)
def test_what_is_not_there_is_named(
    shop: str, arguments: list[str], hint: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(arguments) == 1
    assert hint in capsys.readouterr().err


def test_the_template_is_the_heading(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["import-template", "--delimiter", "semicolon"]) == 0
    assert capsys.readouterr().out == ";".join(COLUMNS) + "\n"
