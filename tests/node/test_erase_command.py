"""The command that erases a record, and what a check says before and after."""

from __future__ import annotations

import pytest
from django.db import connection

from apps.registry.models import Record
from service_registry.__main__ import main
from tests.registry.making import a_draft, a_shop, a_ski, write

pytestmark = pytest.mark.django_db


@pytest.fixture
def job() -> str:
    """A job on a ski; gives its id."""
    shop = a_shop()
    a_ski(shop)
    (appended,) = write(shop, a_draft("job"))
    return appended.record_id


def test_it_erases_and_says_what_it_does_not_reach(
    job: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["erase", job, "--reason", "other", "--text", "It was asked for."]) == 0
    said = capsys.readouterr().out
    row = Record.objects.get(id=job)
    assert bytes(row.document) == b""
    assert row.erased_by in said
    assert "Backups and peers" in said
    # Within a transaction, such as this test's, SQLite can't empty its log.
    assert ("write-ahead log" in said) == (connection.vendor == "sqlite")
    assert main(["fsck"]) == 0


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (["--reason", "other"], "reason_text"),
        (["--reason", "personal_data"], "There is no record"),
    ],
)
def test_what_it_refuses_in_a_sentence(
    job: str, words: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    wanted = job if sentence == "reason_text" else "ab" * 32
    assert main(["erase", wanted, *words]) == 1
    assert sentence in capsys.readouterr().err
    assert bytes(Record.objects.get(id=job).document) != b""


def test_a_reason_that_is_none_is_told(job: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["erase", job, "--reason", "because"])
    assert "personal_data" in capsys.readouterr().err
