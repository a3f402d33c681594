"""The pairs of a fleet: which are apart, what brings them together, in how few queries."""

from __future__ import annotations

from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from apps.pages.fleet import pairs as pages
from apps.registry.actors import OPERATOR, Actor
from apps.registry.erasing import erase_record
from apps.registry.models import LookUp, Record
from apps.registry.paired import own_pairs
from tests.pages.people import text_of
from tests.registry.making import a_draft, a_shop, a_ski, handle, write


def bevelled(shop: Actor, tag: str, side_bevel_deg: float) -> None:
    """Register a ski and set both its edges."""
    a_ski(shop, tag=tag)
    setting = {
        "edge": "both",
        "base_bevel_deg": "0.50",
        "side_bevel_deg": side_bevel_deg,
        "uncertainty_deg": "0.10",
    }
    write(shop, a_draft("bevel-setting", tag=tag, body=setting))


def paired(shop: Actor, tag: str, other: str, *, of: str = "fellbench", **more: Any) -> None:
    """Say that two skis are used together."""
    body = {"other_ski": {"shop": handle(of), "tag": other}}
    write(shop, a_draft("pair", tag=tag, body=body, **more))


@pytest.fixture
def apart(shop: Actor) -> Actor:
    """A shop with a pair whose side bevels differ by two degrees."""
    bevelled(shop, "A-1", 2.0)
    bevelled(shop, "A-2", 4.0)
    paired(shop, "A-2", "A-1")
    return shop


def keys(shop: Actor) -> list[tuple[str, str]]:
    """The tags of the pairs of a fleet."""
    return [
        (pair.tag.partition("/")[2], pair.other.partition("/")[2])
        for pair in own_pairs(shop.handle)
    ]


def test_a_pair_that_drifted_apart_and_the_tune_for_it(apart: Actor, reader: Client) -> None:
    response = reader.get("/fleet/pairs")
    text, page = text_of(response), response.content.decode()
    assert "1 pair of this page has drifted apart." in text
    assert "they have drifted apart" in text
    assert "The tune that brings them together" in text
    # Nobody read the widths, so either way takes what practice says; the first ski's bevel stays.
    assert "/bench/fellbench/A-2/plan?side_left=2.00&amp;side_right=2.00" in page
    assert "It takes 0.060 mm of steel off both skis together" in text
    assert "stays as it is" in text
    assert "Whether enough is left for it has to be measured first." in text
    assert "can't be told" in text


@pytest.mark.parametrize(
    ("width_mm", "verdict"),
    [("2.00", "Enough is left for it."), ("0.90", "Not enough is left for it.")],
)
def test_whether_enough_is_left_for_the_tune(
    apart: Actor, reader: Client, width_mm: str, verdict: str
) -> None:
    where = {"station": "waist", "uncertainty": "0.010"}
    readings = [
        {"quantity": quantity, "value": value, "edge": edge, **where}
        for quantity, value in (("edge_width_mm", width_mm), ("edge_height_mm", "1.80"))
        for edge in ("left", "right")
    ]
    for tag in ("A-1", "A-2"):
        write(apart, *(a_draft("measurement", tag=tag, body=body) for body in readings))
    assert verdict in text_of(reader.get("/fleet/pairs"))


def test_two_that_are_alike_come_after(apart: Actor, reader: Client) -> None:
    for tag in ("A-0", "A-0B"):
        bevelled(apart, tag, 2.0)
    paired(apart, "A-0", "A-0B")
    page = pages.pairs_page(apart.handle, "", "", "mm")
    assert [(row.tag, row.outcome) for row in page.rows] == [
        ("A-1", "apart"),
        ("A-0", "undecided"),
    ]
    assert [row.tag for row in pages.pairs_page(apart.handle, "A-0B", "", "mm").rows] == ["A-0"]
    assert "No pair of the fleet is like that." in text_of(reader.get("/fleet/pairs?tag=Z"))


def test_a_fleet_without_pairs_says_so(reader: Client) -> None:
    assert "No two skis of this fleet are recorded as a pair." in text_of(
        reader.get("/fleet/pairs")
    )


def test_the_latest_record_pairs_and_each_ski_once(apart: Actor) -> None:
    bevelled(apart, "A-3", 2.0)
    assert keys(apart) == [("A-1", "A-2")]
    paired(apart, "A-3", "A-1", performed_at="2025-02-20")
    assert keys(apart) == [("A-1", "A-3")]


@pytest.mark.parametrize("tag", ["A-1", "A-2"])
def test_a_ski_that_left_the_fleet_is_in_no_pair(apart: Actor, tag: str) -> None:
    write(apart, a_draft("status", tag=tag, body={"status": "sold"}, performed_at="2025-02-20"))
    assert keys(apart) == []


def test_tags_that_are_on_one_ski_are_no_pair(apart: Actor) -> None:
    other = {"shop": apart.handle, "tag": "A-1"}
    write(
        apart, a_draft("same-ski", tag="A-2", body={"other_ski": other, "evidence": ["label_lost"]})
    )
    assert keys(apart) == []


def test_of_a_ski_whose_records_were_erased_nothing_is_known(apart: Actor) -> None:
    for record in Record.objects.filter(subject=f"{apart.handle}/A-1"):
        erase_record(record_id=record.id, reason="legal_duty", by=OPERATOR)
    (row,) = pages.pairs_page(apart.handle, "", "", "mm").rows
    assert (row.outcome, row.tune) == ("undecided", None)
    assert any("not known of A-1" in sentence for sentence in row.undecided)


def test_another_shops_ski_is_named_and_not_read(apart: Actor, reader: Client) -> None:
    tarnedge = a_shop("tarnedge")
    a_ski(tarnedge, tag="T-1")
    paired(apart, "A-1", "T-1", of="tarnedge", performed_at="2025-02-20")
    response = reader.get("/fleet/pairs")
    assert "T-1 is no ski of this fleet." in text_of(response)
    assert "/t/tarnedge/T-1" in response.content.decode()
    assert "drifted apart:" not in text_of(response)
    assert not LookUp.objects.exists()


def test_another_shops_word_pairs_nothing_here(shop: Actor) -> None:
    bevelled(shop, "A-1", 2.0)
    tarnedge = a_shop("tarnedge")
    a_ski(tarnedge, tag="T-1")
    paired_by_other = {"other_ski": {"shop": shop.handle, "tag": "A-1"}}
    write(tarnedge, a_draft("pair", shop="tarnedge", tag="T-1", body=paired_by_other))
    assert keys(shop) == []
    assert [pair.is_own for pair in own_pairs(tarnedge.handle)] == [False]


def test_pages_and_as_many_queries_for_many_pairs(
    apart: Actor, reader: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pages, "PAIRS_ON_A_PAGE", 3)
    with CaptureQueriesContext(connection) as few:
        assert "Next page" not in text_of(reader.get("/fleet/pairs"))
    for number in range(4):
        for side in "LR":
            a_ski(apart, tag=f"P-{number}{side}")
        paired(apart, f"P-{number}L", f"P-{number}R")
    with CaptureQueriesContext(connection) as many:
        first = reader.get("/fleet/pairs")
    assert len(few) == len(many)
    assert "after=P-1L" in first.content.decode()
    second = text_of(reader.get("/fleet/pairs?after=P-1L"))
    assert "P-2L" in second
    assert "P-3R" in second
    assert "P-1L" not in second


def test_mistakes(reader: Client) -> None:
    assert reader.get("/fleet/pairs?tag=%25").status_code == 400
