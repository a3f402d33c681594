"""The page of a ski: what is asked first stands first, and nothing is hidden from the shop."""

from __future__ import annotations

import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from apps.registry.actors import Actor
from apps.registry.models import LookUp
from tests.pages.people import a_person, sitting, text_of
from tests.pages.ski.making import (
    FINDING_REMARK,
    SPECIFIED,
    a_grind,
    a_tune,
    tuned,
    visits,
)
from tests.registry.links import say
from tests.registry.making import a_draft, a_ski, write

pytestmark = pytest.mark.django_db


def test_what_is_set_stands_first_with_who_set_it_and_when(
    technician: Client, shop: Actor, ski: str
) -> None:
    tuned(shop, a_draft("bevel-setting", body=SPECIFIED))
    response = technician.get(ski)
    shown = text_of(response)
    said = [
        "FB-0042 fellbench 1710 mm What was set stands.",
        "1 finding is open.",
        "Left edge Base bevel 0.5° ± 0.25° practice Stands.",
        "31 Jan 2025, fellbench, fb-07",
        "Side bevel 3.0°",
        "What the maker specified Base bevel: 1.0°",
    ]
    places = [shown.find(one) for one in said]
    assert -1 not in places, said[places.index(-1)]
    assert places == sorted(places)
    assert re.findall(r"<h2[^>]*>([^<]+)</h2>", response.content.decode()) == [
        "What is set",
        "The edges in cross-section",
        "Steel and base left",
        "The base and the last target",
        "Damage and repairs",
        "Pair, status and use",
        "Contradictions and gaps",
        "Visits, the newest first",
        "How far to believe it",
        "Cautions",
    ]


def test_the_page_has_one_first_heading_and_a_picture_of_each_thing(
    technician: Client, shop: Actor, ski: str
) -> None:
    tuned(shop)
    html = technician.get(ski).content.decode()
    assert html.count("<h1>") == 1
    names = re.findall(r'aria-labelledby="([a-z0-9-]+)-title ', html)
    assert names == ["edge-left", "edge-right", "left-0", "left-1", "map"]
    assert " style=" not in html
    ids = re.findall(r' id="([^"]+)"', html)
    assert len(ids) == len(set(ids))
    assert all(f'id="{to}"' in html for to in re.findall(r'href="#([^"]+)"', html))


def test_a_grind_of_unknown_depth_leaves_it_open_what_stands(
    technician: Client, shop: Actor, ski: str
) -> None:
    tuned(shop, a_grind("2025-02-10"))
    shown = text_of(technician.get(ski))
    assert "The side bevels stand. Nobody can say whether the base bevels still stand." in shown
    assert "Base bevel not known Uncertain." in shown
    assert "Set to 0.5° on 31 Jan 2025." in shown
    assert "Changed by 10 Feb 2025, fellbench" in shown
    # The side face is not touched by a grind of the base.
    assert "Side bevel 3.0°" in shown


def test_a_ski_of_which_nobody_stated_anything(technician: Client, ski: str) -> None:
    shown = text_of(technician.get(ski))
    assert "Nobody ever stated a bevel of this ski." in shown
    assert "Never stated." in shown
    assert "Nobody stated it." not in shown
    assert "No damage is open on record." in shown
    assert shown.count("nobody measured it. Measure at a place that can be found again") == 5
    assert "No record pairs it with another ski." in shown
    assert "Nobody reported days out." in shown


@pytest.mark.parametrize(
    ("status", "reason", "said"),
    [
        ("sold", "sold_on", "Status Sold ( 31 Jan 2025"),
        ("sold", "other", "Status Sold, Gift ( 31 Jan 2025"),
        ("retired", "sold_on", "Status Retired, sold on ( 31 Jan 2025"),
        ("retired", "worn_out", "Status Retired, worn out ( 31 Jan 2025"),
    ],
)
def test_a_status_is_not_said_twice(
    status: str, reason: str, said: str, technician: Client, shop: Actor, ski: str
) -> None:
    why = {"reason": reason} | ({"reason_text": "Gift"} if reason == "other" else {})
    write(shop, a_draft("status", body={"status": status, **why}))
    shown = text_of(technician.get(ski))
    assert said in shown


def test_material_says_what_is_left_and_what_is_practice(
    technician: Client, shop: Actor, ski: str
) -> None:
    tuned(shop)
    shown = text_of(technician.get(ski))
    assert "Edge height, left edge, waist 1.78 mm 1.76 to 1.82 mm By readings alone." in shown
    assert "0.98 mm (least 0.80 mm, practice )" in shown
    assert "Good for 16 services, between 6 and 50 practice" in shown
    assert "Edge width, left edge 0.01 to 0.08 mm in 1 step" in shown


def test_open_damage_is_listed_with_its_remarks_and_numbered_on_the_map(
    technician: Client, shop: Actor, ski: str
) -> None:
    tuned(shop)
    shown = text_of(technician.get(ski))
    assert "Gouge , moderate; base, left edge, waist; 0.60 mm deep, 3.5 mm wide" in shown
    assert FINDING_REMARK in shown
    assert "1, open gouge, moderate, open since 31 Jan 2025" in shown
    assert "2, repaired core shot, repaired on 31 Jan 2025: base, forebody" in shown


def test_contradictions_lead_to_the_visits_they_rest_on(
    technician: Client, shop: Actor, ski: str
) -> None:
    tuned(shop, a_tune())
    response = technician.get(ski)
    html = response.content.decode()
    doubts = html[html.index('id="doubts"') : html.index('id="visits"')]
    anchors = re.findall(r'href="#(r-[0-9a-f]{16})"', doubts)
    assert anchors
    assert all(f'id="{one}"' in html for one in anchors)
    assert "The history has contradictions or gaps." in text_of(response)


def test_words_about_records_that_are_not_here_are_told(
    technician: Client, shop: Actor, other_shop: Actor, ski: str
) -> None:
    write(shop, a_draft("retraction", refers_to=["a" * 64]))
    shown = text_of(technician.get(ski))
    assert "names a record that isn't here. It has no effect yet." in shown


def test_the_page_takes_as_many_queries_for_sixty_records_as_for_three(
    technician: Client, shop: Actor, ski: str
) -> None:
    write(shop, *visits(3))
    with CaptureQueriesContext(connection) as few:
        technician.get(ski)
    write(shop, *list(visits(60))[3:])
    with CaptureQueriesContext(connection) as many:
        response = technician.get(ski)
    assert response.content.decode().count('class="visit"') == 61
    assert len(many) == len(few)


def test_opening_an_own_ski_writes_nothing(technician: Client, shop: Actor, ski: str) -> None:
    tuned(shop)
    with CaptureQueriesContext(connection) as made:
        technician.get(ski)
    written = [one["sql"] for one in made if not one["sql"].startswith(("SELECT", "WITH"))]
    assert written == []


def test_a_look_at_another_shops_ski_is_noted(
    technician: Client, shop: Actor, other_shop: Actor
) -> None:
    a_ski(other_shop, tag="TE-1")
    shown = text_of(technician.get("/t/tarnedge/TE-1"))
    assert "TE-1 tarnedge" in shown
    noted = LookUp.objects.values_list("shop_id", "tag_key")
    assert list(noted) == [(shop.handle, f"{other_shop.handle}/TE-1")]


def test_tags_are_read_in_small_letters_too(technician: Client, ski: str) -> None:
    assert "FB-0042 fellbench" in text_of(technician.get("/t/fellbench/fb-0042"))


def test_a_guest_is_led_to_the_door_and_back(client: Client, ski: str) -> None:
    response = client.get(ski)
    assert response.status_code == 302
    assert response["Location"] == "/enter?next=%2Ft%2Ffellbench%2FFB-0042"


def test_who_only_reads_is_offered_neither_bench_nor_certificate(reader: Client, ski: str) -> None:
    shown = text_of(reader.get(ski))
    assert "Make a certificate" not in shown
    assert "To the bench" not in shown
    assert "Download the signed bundle" in shown


def test_a_certificate_is_offered_for_own_tags_only(
    technician: Client, other_shop: Actor, ski: str
) -> None:
    assert "Make a certificate" in text_of(technician.get(ski))
    a_ski(other_shop, tag="TE-1")
    assert "Make a certificate" not in text_of(technician.get("/t/tarnedge/TE-1"))


def test_the_page_is_read_only(technician: Client, ski: str) -> None:
    assert technician.post(ski).status_code == 405


def test_lengths_are_shown_in_the_visitors_unit(shop: Actor, ski: str) -> None:
    tuned(shop)
    shown = text_of(sitting(a_person(shop.handle, "reader", "fine", unit="um")).get(ski))
    assert "1785 µm" in shown
    assert "1.78 mm" not in shown


def test_a_joined_ski_says_by_whose_word(
    technician: Client, shop: Actor, other_shop: Actor, ski: str
) -> None:
    a_ski(other_shop, tag="TE-1")
    say(shop, "same-ski", "fellbench/FB-0042", "tarnedge/TE-1")
    assert "(one shop says so)" in text_of(technician.get(ski))
    say(other_shop, "same-ski", "tarnedge/TE-1", "fellbench/FB-0042")
    shown = text_of(technician.get(ski))
    assert "Read as one ski with tarnedge/TE-1, since the shops of both tags say so." in shown
    assert "(both shops say so)" in shown
    assert "tarnedge; signed by the node for the shop; under the tag tarnedge/TE-1" in shown
    assert "under the tag fellbench" not in shown
    say(shop, "distinct-ski", "fellbench/FB-0042", "tarnedge/TE-1")
    shown = text_of(technician.get(ski))
    assert "Contested: shops disagree whether tarnedge/TE-1 is the same ski" in shown
    assert "fellbench says: fellbench/FB-0042 and tarnedge/TE-1 are two skis" in shown
