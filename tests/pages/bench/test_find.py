"""Finding a ski, what may have been meant, and registering one that is new."""

from __future__ import annotations

from typing import Any

import pytest
from django.test import Client

from apps.registry.actors import Actor
from apps.registry.label_ranges import issue_range, tags_of
from apps.registry.models import LookUp, Record, Tag
from tests.pages.bench.pair import CODE, LEFT
from tests.pages.people import an_operator, sitting, text_of
from tests.registry.making import a_shop, a_ski


def register(client: Client, **fields: str) -> Any:
    return client.post("/bench", {f"new-{name}": value for name, value in fields.items()})


def test_a_guest_is_led_to_the_log_in(db: None) -> None:
    assert Client().get("/bench").headers["Location"] == "/enter?next=%2Fbench"
    assert "/enter" in Client().post("/bench").headers["Location"]


def test_the_operator_has_no_bench(db: None) -> None:
    assert sitting(an_operator()).get("/bench").status_code == 403


def test_the_field_for_the_tag_has_the_focus(technician: Client) -> None:
    page = technician.get("/bench").content.decode()
    assert page.count("autofocus") == 1
    assert 'enterkeyhint="go"' in page


def test_a_tag_leads_to_its_ski(technician: Client, pair: tuple[str, str]) -> None:
    for typed in (LEFT.lower(), f"{CODE}/{LEFT}", f"http://testserver/t/{CODE}/{LEFT}"):
        found = technician.get("/bench", {"tag": typed})
        assert found.headers["Location"] == f"/bench/{CODE}/{LEFT}"


def test_finding_a_tag_is_no_look_at_the_ski(reader: Client, db: None) -> None:
    brindle = a_shop("brindle-bench")
    a_ski(brindle, tag="BB-1")
    found = reader.get("/bench", {"tag": "brindle-bench/BB-1"})
    assert found.status_code == 302
    assert not LookUp.objects.exists()


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "This field is required."),
        ("häng", "A tag has letters A to Z"),
        ("https://testserver/fleet", "not that of a ski"),
        ("x" * 501, "at most 500 characters"),
    ],
)
def test_what_is_no_tag_is_said_at_the_field(technician: Client, typed: str, said: str) -> None:
    found = technician.get("/bench", {"tag": typed})
    assert found.status_code == 400
    assert said in text_of(found)
    assert 'aria-invalid="true"' in found.content.decode()


def test_a_tag_on_no_ski_is_offered_for_a_new_one(technician: Client) -> None:
    found = technician.get("/bench", {"tag": "vh-9"})
    assert "No ski here has the tag VH-9" in text_of(found)
    assert 'name="new-tag" value="VH-9"' in found.content.decode()


def test_a_reader_registers_nothing(reader: Client) -> None:
    assert "Register a new ski" not in text_of(reader.get("/bench", {"tag": "VH-9"}))
    assert register(reader, tag="VH-9").status_code == 403
    assert not Tag.objects.exists()


def test_a_tag_of_another_shop_is_not_offered(technician: Client) -> None:
    found = text_of(technician.get("/bench", {"tag": "brindle-bench/BB-1"}))
    assert "It is a tag of brindle-bench." in found
    assert "Register a new ski" not in found


def test_a_slip_in_an_issued_tag_is_hinted_at(technician: Client, shop: Actor) -> None:
    issued = tags_of(issue_range(prefix="VH-", count=5, by=shop))
    a_ski(shop, tag=issued[2])
    slip = issued[2][:-1] + ("A" if issued[2][-1] != "A" else "B")
    found = technician.get("/bench", {"tag": slip})
    assert "check character doesn't fit" in text_of(found)
    assert f"/bench/{CODE}/{issued[2]}" in found.content.decode()


def test_an_issued_label_says_so(technician: Client, shop: Actor) -> None:
    issued = tags_of(issue_range(prefix="VH-", count=2, by=shop))
    assert "on no ski yet" in text_of(technician.get("/bench", {"tag": issued[0]}))


def test_the_form_names_the_unit_of_the_widths(technician: Client) -> None:
    page = text_of(technician.get("/bench", {"tag": "VH-9"}))
    for part in ("shovel", "waist", "tail"):
        assert f"Width of the {part} in mm" in page


def test_registering(technician: Client, shop: Actor) -> None:
    made = register(
        technician,
        tag="vh-9",
        model_text="Ridge 72",
        length_mm="1710",
        shovel_width_mm="121,0",
        waist_width_mm="72",
        tail_width_mm="105 mm",
    )
    assert made.headers["Location"] == f"/bench/{CODE}/VH-9"
    page = text_of(technician.get(made.headers["Location"]))
    assert "Ridge 72" in page


@pytest.mark.parametrize(
    ("fields", "name", "said"),
    [
        ({"tag": ""}, "tag", "This field is required."),
        ({"tag": "VH 9"}, "tag", "take out a blank"),
        ({"tag": "VH-9", "length_mm": "17,1"}, "length_mm", "Enter a whole number."),
        ({"tag": "VH-9", "length_mm": "171"}, "length_mm", "greater than or equal to 300"),
        ({"tag": "VH-9", "waist_width_mm": "7"}, "waist_width_mm", "30.0 to 250.0"),
        ({"tag": "VH-9", "model_text": "a\u202eb"}, "model_text", "Take out the character"),
        (
            {
                "tag": "VH-9",
                "shovel_width_mm": "72",
                "waist_width_mm": "121",
                "tail_width_mm": "105",
            },
            "waist_width_mm",
            "The waist is wider than both ends.",
        ),
    ],
)
def test_faults_come_back_at_their_fields(
    technician: Client, shop: Actor, fields: dict[str, str], name: str, said: str
) -> None:
    before = Record.objects.count()
    made = register(technician, **fields)
    assert made.status_code == 400
    errors = made.context["register"].errors
    assert list(errors) == [name]
    assert said in errors[name].as_text()
    assert Record.objects.count() == before
    for typed in fields.values():
        assert typed in text_of(made) + made.content.decode()


def test_a_tag_that_is_on_a_ski_is_refused(technician: Client, pair: tuple[str, str]) -> None:
    made = register(technician, tag=LEFT)
    assert "This tag is on a ski already." in str(made.context["register"].errors["tag"])


def test_an_english_refusal_is_marked_as_such(technician: Client, shop: Actor) -> None:
    made = register(technician, tag="VH-9-")
    assert '<span lang="en">' in made.content.decode()
