"""The demo runs on a database of its own, whatever the environment says."""

from __future__ import annotations

from pathlib import Path

import dj_database_url
import pytest

from service_registry.demo.surroundings import (
    DATABASE,
    clear,
    environment_inside,
    is_inside,
    own_settings,
    second_settings,
    with_settings,
)

ORDINARY = {
    "PATH": "/bin",
    "DATABASE_URL": "postgresql://node@db/registry",
    "PRODUCTION": "yes",
    "rate_compute": "1/day",
}


def test_no_ordinary_setting_reaches_the_demo(tmp_path: Path) -> None:
    inside = environment_inside(tmp_path, ORDINARY)
    assert inside == {"PATH": "/bin", **own_settings(tmp_path)}


def test_it_steps_inside_once(tmp_path: Path) -> None:
    assert not is_inside(tmp_path, ORDINARY)
    assert is_inside(tmp_path, environment_inside(tmp_path, ORDINARY))
    assert not is_inside(tmp_path / "other", environment_inside(tmp_path, ORDINARY))


@pytest.mark.parametrize("name", ["plain", "with blank", "50 % + café ?#"])
def test_the_database_lies_in_the_folder_whatever_it_is_called(tmp_path: Path, name: str) -> None:
    url = own_settings(tmp_path / name)["DATABASE_URL"]
    assert dj_database_url.parse(url)["NAME"] == str(tmp_path / name / DATABASE)


def test_it_clears_its_own_database_and_nothing_else(tmp_path: Path) -> None:
    kept = tmp_path / "registry.sqlite3"
    kept.write_text("kept")
    for ending in ("", "-wal", "-shm"):
        (tmp_path / f"{DATABASE}{ending}").write_text("old")
    clear(tmp_path)
    assert [path.name for path in tmp_path.iterdir() if path.is_file()] == [kept.name]


def test_it_makes_a_folder_that_is_not_there(tmp_path: Path) -> None:
    clear(tmp_path / "a" / "b")
    assert (tmp_path / "a" / "b").is_dir()


def test_the_second_node_has_a_name_a_secret_and_a_database_of_its_own(tmp_path: Path) -> None:
    first, second = own_settings(tmp_path), second_settings(tmp_path)
    assert set(second) == {*first, "SECRET_KEY"}
    for name in ("NODE_HOST", "DATA_DIR", "DATABASE_URL"):
        assert first[name] != second[name]
    assert second["SECRET_KEY"] != second_settings(tmp_path)["SECRET_KEY"]
    assert with_settings(second, ORDINARY) == {"PATH": "/bin", **second}
