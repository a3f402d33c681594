"""The first page."""

from __future__ import annotations

import pytest
from django.test import Client

from apps.registry.actors import Actor
from tests.pages.people import a_person, an_operator, sitting, text_of

PROGRAMS = ["/docs/", "/api/v1/openapi.json", "/docs/problems", "/api/v1/"]


def links(client: Client) -> list[str]:
    page = client.get("/").content.decode()
    main = page[page.index("<main") : page.index("</main>")]
    return [part.partition('"')[0] for part in main.split('href="')[1:]]


def test_a_guest_is_told_where_to_log_in(guest: Client) -> None:
    assert links(guest) == ["/enter", *PROGRAMS]
    assert "localhost.invalid" in text_of(guest.get("/"))


@pytest.mark.parametrize(
    ("role", "first"), [("owner", "/bench"), ("technician", "/bench"), ("reader", "/fleet/due")]
)
def test_people_of_a_shop_go_straight_to_their_work(role: str, first: str, shop: Actor) -> None:
    found = links(sitting(a_person(shop.handle, role)))
    assert found[0] == first
    assert {"/fleet", "/fleet/due", "/labels", "/shop/links", *PROGRAMS} <= set(found)


@pytest.mark.django_db
def test_the_operator_goes_to_the_node() -> None:
    assert links(sitting(an_operator())) == ["/node", *PROGRAMS]


def test_the_first_page_takes_no_form(guest: Client) -> None:
    assert guest.post("/").status_code == 405
