"""Where the choice of a language leads after a form was refused."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from apps.pages.urls import urlpatterns
from apps.registry.actors import Actor
from tests.pages.people import a_person, sitting

NAMES = {
    "shop": "veskerdal-hire",
    "tag": "VH-1",
    "username": "owner.one",
    "prefix": "abcd",
    "token": "skishare_none",
    "record_id": "a" * 64,
    "number": 1,
}


def every_address() -> list[str]:
    """Every address of the pages, with something for each part."""
    found = []
    for pattern in urlpatterns:
        parts = {name: NAMES[name] for name in pattern.pattern.converters}
        found.append(reverse(f"pages:{pattern.name}", kwargs=parts))
    return found


def led_to(client: Client, wanted: str) -> str:
    answer = client.post("/language", {"language": "de", "next": wanted})
    return answer.headers["Location"]


def test_no_language_leads_to_an_address_that_only_takes_a_form(shop: Actor) -> None:
    owner = sitting(a_person(shop.handle, "owner"))
    for address in every_address():
        assert owner.get(led_to(owner, address)).status_code != 405, address


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("wanted", "led"),
    [
        ("/shop/people/mia/role", "/shop/people"),
        ("/shop/keys/abcd/revoke", "/shop/keys"),
        ("/shop/links/abcd/revoke", "/shop/links"),
        ("/t/veskerdal-hire/VH-1/certificate", "/t/veskerdal-hire/VH-1"),
        ("/leave", "/"),
        ("/fleet?page=2", "/fleet?page=2"),
        ("/nothing-here", "/nothing-here"),
    ],
)
def test_it_leads_to_the_page_that_the_form_stands_on(wanted: str, led: str) -> None:
    assert led_to(Client(), wanted) == led


def test_a_guest_is_let_in_to_a_page_that_can_be_read(shop: Actor) -> None:
    answer = sitting(a_person(shop.handle, "owner")).get("/enter?next=/shop/keys/abcd/revoke")
    assert answer.headers["Location"] == "/shop/keys"
