"""The folded state as a row, and the columns that the fleet is sorted by."""

from __future__ import annotations

import json
from datetime import date

import pytest

from apps.records.examples import BODIES
from apps.registry import conditions
from apps.registry.actions import set_practice
from apps.registry.actors import Actor
from apps.registry.conditions import plain
from apps.registry.histories import read_fold
from apps.registry.models import Condition
from apps.registry.practices import practice_of
from apps.registry.visits import visits_of
from apps.tuning.condition import fold
from apps.tuning.history import Place
from tests.registry.making import a_draft, a_ski, write
from tests.registry.season import BEFORE_AFTER, played

pytestmark = pytest.mark.django_db


def condition(ski: str) -> Condition:
    return Condition.objects.get(ski=ski)


def test_a_ski_that_nobody_touched_is_unknown_not_worn_out(ski: str) -> None:
    row = condition(ski)
    assert row.folded_on == date(2025, 1, 31)
    assert (row.edge_height_least_um, row.base_thickness_um, row.services_left_low) == (None,) * 3
    assert (row.base_bevel_standing, row.side_bevel_standing) == ("never_stated",) * 2
    assert (row.jobs, row.grinds, row.last_job_day, row.days_in_use) == (0, 0, None, None)
    assert (row.open_findings, row.worst_severity, row.status, row.warnings) == (0, "", "", 0)
    assert str(row) == f"condition of {ski}"


def test_it_follows_every_append(ski: str, shop: Actor) -> None:
    write(shop, a_draft("job", body=BEFORE_AFTER, performed_at="2025-02-10"))
    row = condition(ski)
    assert (row.jobs, row.grinds, row.last_job_day) == (1, 1, date(2025, 2, 10))
    assert (row.open_findings, row.worst_severity) == (1, "severe")
    # The reading after the work, and nothing was done since: 1.735 mm, uncertainty 0.020 mm.
    assert (row.edge_height_least_um, row.edge_height_uncertainty_um) == (1735, 20)
    assert row.base_thickness_um is not None
    assert row.services_left_low is not None
    assert (row.base_bevel_standing, row.side_bevel_standing) == ("stands", "stands")


def test_it_is_folded_as_of_the_last_record(ski: str, shop: Actor) -> None:
    write(shop, a_draft("usage", performed_at="2025-02-10"))
    write(shop, a_draft("usage", performed_at="2025-02-05"))
    assert condition(ski).folded_on == date(2025, 2, 10)


def test_the_standing_that_needs_a_hand_is_shown(ski: str, shop: Actor) -> None:
    write(shop, a_draft("bevel-setting"))
    grind = {"steps": [{"operation": "stone_grind", "base_removed_mm": "0.300"}]}
    write(shop, a_draft("job", body=grind, performed_at="2025-02-10"))
    row = condition(ski)
    assert (row.base_bevel_standing, row.side_bevel_standing) == ("ground_away", "stands")


def test_use_and_status(ski: str, shop: Actor) -> None:
    write(shop, a_draft("usage"), a_draft("usage", performed_at="2025-02-10"))
    write(shop, a_draft("status", body={"status": "on_bench"}))
    row = condition(ski)
    assert (row.days_in_use, row.status) == (2 * BODIES["usage"]["days"], "on_bench")


def test_the_lower_of_both_edges_counts(ski: str, shop: Actor) -> None:
    for edge, value in (("left", "1.700"), ("right", "1.500")):
        body = {"quantity": "edge_height_mm", "edge": edge, "value": value}
        write(shop, a_draft("measurement", body=body))
    assert condition(ski).edge_height_least_um == 1500


def test_a_double_entry_is_a_warning(ski: str, shop: Actor) -> None:
    write(shop, a_draft("usage"), a_draft("usage"))
    row = condition(ski)
    codes = [warning["code"] for warning in json.loads(row.state)["warnings"]]
    assert "double-entry" in codes
    assert row.warnings == len(codes)


def test_it_is_folded_once_a_call(ski: str, shop: Actor, monkeypatch: pytest.MonkeyPatch) -> None:
    folded: list[str] = []
    make = conditions.condition_row

    def counted(key: str, *rest: object) -> Condition:
        folded.append(key)
        return make(key, *rest)  # type: ignore[arg-type]

    monkeypatch.setattr(conditions, "condition_row", counted)
    write(shop, a_draft("usage"), a_draft("job"), a_draft("measurement"))
    assert folded == [ski]


def test_another_practice_folds_the_shop_s_skis_anew(
    ski: str, shop: Actor, other_shop: Actor
) -> None:
    write(shop, a_draft("measurement"))
    a_ski(other_shop, tag="T-1")
    write(other_shop, a_draft("measurement", shop="tarnedge", tag="T-1"))
    before = condition(f"{other_shop.handle}/T-1").state
    generous = condition(ski).services_left_low
    set_practice(shop=shop.handle, settings={"least_edge_height_mm": "1.7"}, by=shop)
    careful = condition(ski).services_left_low
    assert generous is not None
    assert careful is not None
    assert careful < generous
    assert condition(f"{other_shop.handle}/T-1").state == before


def test_the_whole_state_is_kept_as_json(ski: str, shop: Actor) -> None:
    write(shop, a_draft("job", body=BEFORE_AFTER))
    state = json.loads(condition(ski).state)
    assert state["counts"]["jobs"] == 1
    assert state["as_of"] == "2025-01-31"
    assert [edge["edge"] for edge in state["bevels"]] == ["left", "right"]


def test_the_kept_row_is_the_fold(shop: Actor, other_shop: Actor) -> None:
    played(shop, other_shop)
    set_practice(shop=shop.handle, settings={"least_edge_height_mm": "1.2"}, by=shop)
    assert Condition.objects.count() == 3
    for row in Condition.objects.all():
        effective = read_fold([row.ski_id]).effective
        owner = row.ski_id.partition("/")[0]
        now = fold(visits_of(effective), practice=practice_of(owner), today=row.folded_on)
        assert json.loads(row.state) == json.loads(json.dumps(plain(now)))


def test_absent_values_are_left_out_of_it() -> None:
    assert plain(Place(edge="left")) == {"edge": "left"}
    assert plain((1 / 3, None, "x", date(2025, 1, 31))) == [0.333333, None, "x", "2025-01-31"]
