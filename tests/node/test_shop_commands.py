"""The commands that keep shops, keys and practice, and those that look after the store."""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path

import pytest
from django.conf import settings as node_settings
from django.utils import timezone
from pytest_django.fixtures import Settings

from apps.registry import models
from apps.registry.actors import Scope, shop_actor
from apps.registry.errors import NotKnown
from apps.registry.keys import authenticate
from service_registry.__main__ import main

pytestmark = pytest.mark.django_db(transaction=True)

HANDLE = f"fellbench@{node_settings.NODE_HOST}"


@pytest.fixture
def shop() -> str:
    assert main(["add-shop", "fellbench", "--label", "Fell Bench"]) == 0
    return HANDLE


def test_a_shop_is_not_added_under_the_trial_name_where_others_rely_on_it(
    settings: Settings, capsys: pytest.CaptureFixture[str]
) -> None:
    settings.PRODUCTION = True
    assert main(["add-shop", "fellbench"]) == 1
    assert "NODE_HOST is still localhost.invalid" in capsys.readouterr().err
    assert models.Shop._default_manager.count() == 0


def issued(capsys: pytest.CaptureFixture[str], *options: str) -> str:
    capsys.readouterr()
    assert main(["issue-key", "fellbench", *options]) == 0
    return capsys.readouterr().out.splitlines()[0]


def test_a_shop_is_added_once(shop: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["add-shop", "fellbench"]) == 1
    assert "is here already" in capsys.readouterr().err
    assert models.Shop._default_manager.filter(handle=HANDLE).count() == 1


def test_a_code_that_is_no_code_is_refused_with_the_mend(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["add-shop", "Fell Bench"]) == 1
    assert "lower-case letters, digits and hyphens" in capsys.readouterr().err
    assert models.Shop._default_manager.count() == 0


@pytest.mark.parametrize(
    ("scope", "scopes"),
    [
        ("read", {Scope.READ}),
        ("write", {Scope.WRITE}),
        ("both", {Scope.READ, Scope.WRITE}),
        ("keys", {Scope.KEYS}),
        ("all", {Scope.READ, Scope.WRITE, Scope.KEYS}),
    ],
)
def test_an_issued_key_lets_in_with_its_scopes(
    shop: str, scope: str, scopes: set[Scope], capsys: pytest.CaptureFixture[str]
) -> None:
    token = issued(capsys, "--scope", scope)
    assert authenticate(token, now=timezone.now()) == shop_actor(HANDLE, *scopes)


def test_a_third_live_key_is_refused_and_a_revoked_one_makes_room(
    shop: str, capsys: pytest.CaptureFixture[str]
) -> None:
    first, _ = issued(capsys), issued(capsys)
    assert main(["issue-key", "fellbench"]) == 1
    assert "Revoke one of them first" in capsys.readouterr().err
    assert main(["revoke-key", first.split("_")[1]]) == 0
    with pytest.raises(NotKnown):
        authenticate(first, now=timezone.now())
    issued(capsys)


def test_a_signing_key_is_replaced_at_a_place_of_the_log(
    shop: str, capsys: pytest.CaptureFixture[str]
) -> None:
    (old,) = models.KeptKey.objects.kept_for(shop)
    assert main(["replace-signing-key", "fellbench"]) == 0
    (new,) = models.KeptKey.objects.kept_for(shop)
    assert new.key_id != old.key_id
    assert f"signs with {new.key_id} after place 3 of the log" in capsys.readouterr().out


def test_tidy_forgets_answers_of_yesterday(shop: str, capsys: pytest.CaptureFixture[str]) -> None:
    for hours, key in ((25, "old"), (1, "new")):
        models.IdempotencyKey.objects.create(
            shop=shop,
            key=key,
            request_digest="0" * 64,
            created_at=timezone.now() - timedelta(hours=hours),
        )
    assert main(["tidy"]) == 0
    assert "Forgot 1 answers." in capsys.readouterr().out
    assert models.IdempotencyKey.objects.get().key == "new"


def test_an_unknown_shop_gets_no_key(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["issue-key", "nobody"]) == 1
    assert "There is no shop nobody@" in capsys.readouterr().err


def test_practice_comes_from_a_file(shop: str, tmp_path: Path) -> None:
    file = tmp_path / "practice.json"
    file.write_text(json.dumps({"least_edge_height_mm": "1.000"}))
    assert main(["set-practice", "fellbench", str(file)]) == 0
    assert (
        models.Shop._default_manager.get(handle=HANDLE).practice
        == '{"least_edge_height_mm":"1.000"}'
    )


@pytest.mark.parametrize(
    ("text", "hint"),
    [
        ("[]", "begin it with a brace"),
        ("{", "JSON"),
        ('{"least_edge_hight_mm": "1.000"}', "least_edge_height_mm"),
        ('{"least_edge_height_mm": "-1"}', "least_edge_height_mm"),
    ],
)
def test_a_wrong_practice_file_changes_nothing(
    shop: str, text: str, hint: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    before = models.Shop._default_manager.get(handle=HANDLE).practice
    file = tmp_path / "practice.json"
    file.write_text(text)
    assert main(["set-practice", "fellbench", str(file)]) == 1
    assert hint in capsys.readouterr().err
    assert models.Shop._default_manager.get(handle=HANDLE).practice == before


def test_a_practice_file_that_is_not_there_is_named(
    shop: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["set-practice", "fellbench", str(tmp_path / "none.json")]) == 1
    assert "none.json can't be read" in capsys.readouterr().err


def test_an_empty_node_is_sound_and_can_be_rebuilt(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rebuild"]) == 0
    assert main(["fsck"]) == 0
    assert "0 records on 0 skis are sound." in capsys.readouterr().out


def test_fsck_names_what_is_wrong_and_gives_status_one(
    shop: str, capsys: pytest.CaptureFixture[str]
) -> None:
    models.LogHead._default_manager.update_or_create(id=1, defaults={"size": 3})
    assert main(["fsck"]) == 1
    assert "wrong-log-size" in capsys.readouterr().out


def test_prepare_makes_the_data_folder(tmp_path: Path, settings: Settings) -> None:
    settings.DATA_DIR = tmp_path / "new"
    assert main(["prepare"]) == 0
    assert (tmp_path / "new").is_dir()


def test_no_command_is_a_wrong_call(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as caught:
        main([])
    assert caught.value.code == 2
    assert "COMMAND" in capsys.readouterr().err
