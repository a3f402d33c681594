"""Recording the pair of a ski from its page."""

from __future__ import annotations

import pytest
from django.test import Client

from apps.registry.actors import Actor
from apps.registry.models import Record
from tests.pages.people import text_of
from tests.registry.making import a_draft, a_ski, write

pytestmark = pytest.mark.django_db

PAGE, OTHER = "/t/fellbench/FB-0042/pair", "FB-0043"


def pairs() -> int:
    """How many records say a pair."""
    return Record.objects.filter(kind="pair").count()


@pytest.mark.parametrize(
    "typed", [OTHER, "fb-0043", "fellbench/FB-0043", "http://testserver/t/fellbench/FB-0043"]
)
def test_the_other_ski_is_typed_or_scanned(
    technician: Client, shop: Actor, ski: str, typed: str
) -> None:
    a_ski(shop, tag=OTHER)
    assert f'href="{PAGE}"' in technician.get(ski).content.decode()
    answer = technician.post(PAGE, {"tag": typed}, follow=True)
    assert answer.redirect_chain == [("/bench/fellbench/FB-0042", 302)]
    assert [one.tag for one in answer.context["skis"]] == ["FB-0042", OTHER]
    assert f": fellbench/{OTHER} . What you write here takes" in text_of(technician.get(PAGE))


def test_a_form_that_is_sent_twice_writes_once(technician: Client, shop: Actor, ski: str) -> None:
    a_ski(shop, tag=OTHER)
    for _ in range(2):
        assert technician.post(PAGE, {"tag": OTHER}).status_code == 302
    assert pairs() == 1


def test_a_ski_that_got_another_partner(technician: Client, shop: Actor, ski: str) -> None:
    a_ski(shop, tag=OTHER)
    a_ski(shop, tag="FB-0044")
    other = {"other_ski": {"shop": "fellbench", "tag": "FB-0044"}}
    write(shop, a_draft("pair", body=other))
    technician.post(PAGE, {"tag": OTHER})
    shown = text_of(technician.get(ski))
    assert "Paired before with FB-0044" in shown


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("FB-9999", "No ski here has this tag. Register it first."),
        ("no tag", "No ski here has this tag. Register it first."),
        ("FB-0042", "This is the tag of the ski itself. Give the other one's."),
        (" ", "This field is required."),
    ],
)
def test_what_is_no_other_ski_is_told_at_the_field(
    technician: Client, ski: str, typed: str, said: str
) -> None:
    answer = technician.post(PAGE, {"tag": typed})
    assert answer.status_code == 422
    assert said in text_of(answer)
    assert 'aria-describedby="id_tag_' in answer.content.decode()
    assert pairs() == 0


def test_only_who_writes_for_the_shop_of_the_tag(
    reader: Client, technician: Client, other_shop: Actor, ski: str
) -> None:
    a_ski(other_shop, tag="TE-1")
    assert reader.get(PAGE).status_code == 403
    assert "Record its pair" not in text_of(reader.get(ski))
    assert technician.get("/t/tarnedge/TE-1/pair").status_code == 403
    assert "Record its pair" not in text_of(technician.get("/t/tarnedge/TE-1"))
    assert technician.get("/t/fellbench/FB-9999/pair").status_code == 404
    assert pairs() == 0
