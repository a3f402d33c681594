"""A tag that no ski has: what is told, and what is not told of other shops."""

from __future__ import annotations

import pytest
from django.test import Client

from apps.registry.actors import Actor
from apps.registry.label_ranges import issue_range, tags_of
from tests.pages.people import text_of
from tests.registry.making import a_ski

pytestmark = pytest.mark.django_db
HINT = "Its check character doesn't fit"


def swapped(tag: str) -> str:
    """A tag whose last two characters changed places."""
    return tag[:-2] + tag[-1] + tag[-2]


def test_a_tag_without_a_ski(technician: Client, ski: str) -> None:
    response = technician.get("/t/fellbench/FB-9999")
    shown = text_of(response)
    assert response.status_code == 404
    assert "No ski is registered here under the tag FB-9999 of fellbench." in shown
    assert "A ski of another shop is found by its exact tag only." not in shown
    assert HINT not in shown


@pytest.mark.parametrize("room", ["t", "bench"])
def test_a_tag_of_the_own_shop_leads_to_the_form_that_registers_it(
    technician: Client, ski: str, room: str
) -> None:
    page = technician.get(f"/{room}/fellbench/FB-9999").content.decode()
    assert 'href="/bench?tag=FB-9999"' in page
    assert "Register the ski" in text_of(technician.get("/bench?tag=FB-9999"))


def test_a_mistyped_label_is_told_with_the_ski_that_was_meant(
    technician: Client, shop: Actor
) -> None:
    tags = tags_of(issue_range(prefix="FB-", count=40, by=shop))
    meant = next(tag for tag in tags if swapped(tag) not in tags and tag[-1] != tag[-2])
    a_ski(shop, tag=meant)
    response = technician.get(f"/t/fellbench/{swapped(meant)}")
    assert response.status_code == 404
    assert HINT in text_of(response)
    assert f'href="/t/fellbench/{meant}"' in response.content.decode()


def test_a_label_that_is_on_no_ski_yet(technician: Client, reader: Client, shop: Actor) -> None:
    (label,) = tags_of(issue_range(prefix="FB-", count=1, by=shop))
    said = "It is a label of this shop that is on no ski yet."
    assert said in text_of(technician.get(f"/t/fellbench/{label}"))
    assert "Register a ski under it" not in text_of(reader.get(f"/t/fellbench/{label}"))


def test_nothing_is_told_of_another_shops_labels(technician: Client, other_shop: Actor) -> None:
    tags = tags_of(issue_range(prefix="TE-", count=40, by=other_shop))
    meant = next(tag for tag in tags if swapped(tag) not in tags and tag[-1] != tag[-2])
    a_ski(other_shop, tag=meant)
    response = technician.get(f"/t/tarnedge/{swapped(meant)}")
    shown = text_of(response)
    assert response.status_code == 404
    assert HINT not in shown
    assert meant not in shown
    assert "A ski of another shop is found by its exact tag only." in shown
    assert "Register a ski under it" not in shown


@pytest.mark.parametrize("address", ["/t/fell bench/FB-1", "/t/fellbench/FB 1", "/t/fellbench/-"])
def test_what_can_be_no_tag_is_told_as_it_was_typed(technician: Client, address: str) -> None:
    response = technician.get(address)
    assert response.status_code == 404
    assert address.rpartition("/")[2] in text_of(response)


@pytest.mark.parametrize("end", ["bundle", "records/" + "a" * 64])
def test_what_belongs_to_an_unknown_ski_is_not_there(technician: Client, end: str) -> None:
    assert technician.get(f"/t/fellbench/FB-9999/{end}").status_code == 404
