"""Issuing tags, printing them, printing them again."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from django.test import Client
from pytest_django import DjangoAssertNumQueries, Settings

from apps.pages.labels import views
from apps.registry.actors import Actor
from apps.registry.label_ranges import issue_range, tags_of
from apps.registry.models import LabelRange
from tests.pages.people import a_person, an_operator, sitting, text_of
from tests.registry.making import a_shop, a_ski

WANTED = {"beginning": "vh-", "count": "24", "digits": ""}


def test_tags_are_issued_and_go_to_the_printer(technician: Client, shop: Actor) -> None:
    answer = technician.post("/labels", WANTED)
    issued = LabelRange.objects.get()
    assert answer.headers["Location"] == f"/labels/{issued.pk}/print"
    assert (issued.shop_id, issued.prefix, issued.first, issued.last) == (shop.handle, "VH-", 1, 24)
    said = text_of(technician.get(answer.headers["Location"]))
    assert "24 tags are issued: VH-0001S to VH-0024E." in said
    assert "24 labels, from VH-0001S on." in said


def test_the_next_tags_follow_the_last(technician: Client, issued: LabelRange) -> None:
    technician.post("/labels", {**WANTED, "count": "1"})
    assert LabelRange.objects.exclude(pk=issued.pk).get().first == 31
    assert "1 tag is issued" in text_of(technician.get("/labels"))


@pytest.mark.parametrize(
    ("changed", "field", "said"),
    [
        ({"beginning": ""}, "beginning", "This field is required."),
        ({"beginning": "VH7"}, "beginning", "no digit at the end"),
        ({"beginning": "Å-"}, "beginning", "This can't begin a tag"),
        ({"count": "0"}, "count", "greater than or equal to 1"),
        ({"count": "1001"}, "count", "less than or equal to 1000"),
        ({"digits": "3"}, "digits", "another number of digits"),
        ({"digits": "9"}, "digits", "not one of the available choices"),
        ({"beginning": "X-", "digits": "3", "count": "1000"}, "beginning", "not so many numbers"),
    ],
)
@pytest.mark.usefixtures("issued")
def test_what_is_wrong_stands_at_its_field(
    changed: Mapping[str, str], field: str, said: str, technician: Client
) -> None:
    answer = technician.post("/labels", {**WANTED, **changed})
    assert answer.status_code == 422
    assert said in text_of(answer)
    page = answer.content.decode()
    assert f'id="id_{field}_error"' in page
    assert 'aria-invalid="true"' in page
    assert LabelRange.objects.count() == 1


def test_who_only_reads_prints_and_issues_nothing(reader: Client, issued: LabelRange) -> None:
    assert "Issue new tags" not in text_of(reader.get("/labels"))
    assert reader.post("/labels", WANTED).status_code == 403
    assert reader.get(f"/labels/{issued.pk}/print").status_code == 200
    assert LabelRange.objects.count() == 1


@pytest.mark.parametrize("path", ["/labels", "/labels/1/print", "/labels/tags/print?tags=A"])
@pytest.mark.django_db
def test_guests_log_in_first_and_the_operator_has_no_labels(path: str) -> None:
    assert Client().get(path).status_code == 302
    assert sitting(an_operator()).get(path).status_code == 403


def test_a_range_of_another_shop_is_not_there(issued: LabelRange) -> None:
    other = a_shop("kelderby-bench")
    client = sitting(a_person(other.handle, "owner", "else"))
    assert client.get(f"/labels/{issued.pk}/print").status_code == 404
    assert "VH-" not in text_of(client.get("/labels")).replace("Such as VH-.", "")


@pytest.mark.usefixtures("shop")
def test_a_range_that_never_was_is_not_there(reader: Client) -> None:
    assert reader.get("/labels/99999999999999999999/print").status_code == 404


@pytest.mark.parametrize("before", ["%00", "9" * 5000, "9" * 18, "-1", "%D9%A3"])
def test_a_place_that_can_be_none_is_read_as_such(before: str, reader: Client) -> None:
    assert reader.get(f"/labels?before={before}").status_code == 200


def test_older_ranges_are_a_page_further(
    reader: Client, shop: Actor, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(views, "PAGE", 2)
    for beginning in ("A-", "B-", "C-"):
        issue_range(prefix=beginning, count=1, by=shop)
    first = reader.get("/labels")
    assert "C-0001" in text_of(first)
    assert "A-0001" not in text_of(first)
    last = LabelRange.objects.get(prefix="B-").pk
    assert f'href="?before={last}"' in first.content.decode()
    older = reader.get(f"/labels?before={last}")
    assert "A-0001" in text_of(older)
    assert 'href="?before=' not in older.content.decode()


@pytest.mark.parametrize(
    ("changed", "field", "said"),
    [
        ({"stock": "a5"}, "stock", "not one of the available choices"),
        ({"start": "0"}, "start", "greater than or equal to 1"),
        ({"start": "25"}, "start", "Such a sheet has 24 labels."),
        ({"stock": "roll-50x25", "start": "2"}, "start", "Such a sheet has 1 label."),
        ({"stock": "roll", "start": "2", "width": "60", "height": "30"}, "start", "A roll begins"),
        ({"right": "6"}, "right", "Between -5 and 5 mm."),
        ({"right": "much"}, "right", "Write one number"),
        ({"down": "1 inch"}, "down", "Write a length"),
        ({"stock": "roll", "width": "20", "height": "30"}, "width", "Between 30 and 210 mm."),
        ({"stock": "roll", "width": "60", "height": "300"}, "height", "Between 15 and 297 mm."),
        ({"stock": "roll", "width": "", "height": "30"}, "width", "Write one number"),
        ({"stock": "roll", "width": "30", "height": "15"}, "stock", "too small for such tags"),
    ],
)
def test_what_can_not_be_printed_is_said_at_its_field(
    changed: Mapping[str, str], field: str, said: str, reader: Client, issued: LabelRange
) -> None:
    answer = reader.get(f"/labels/{issued.pk}/print", changed)
    assert answer.status_code == 422
    assert said in text_of(answer)
    page = answer.content.decode()
    assert f'id="id_{field}_error"' in page
    assert "<svg" not in page
    assert "page.css" not in page


def test_a_width_stays_unread_where_no_free_roll_is_meant(
    reader: Client, issued: LabelRange
) -> None:
    assert reader.get(f"/labels/{issued.pk}/print", {"width": "?"}).status_code == 200


def test_the_paper_has_its_size_from_a_style_of_its_own(reader: Client) -> None:
    answer = reader.get("/labels/page.css?width=210&height=297")
    assert answer.headers["Content-Type"] == "text/css; charset=utf-8"
    assert "@page { size: 210mm 297mm; margin: 0; }" in answer.content.decode()


@pytest.mark.parametrize(
    "query",
    ["", "width=210", "width=210&height=29.7777", "width=1;}&height=2", "width=-1&height=2"],
)
def test_a_paper_of_no_size_is_not_there(query: str, reader: Client) -> None:
    assert reader.get(f"/labels/page.css?{query}").status_code == 404


def test_a_trial_node_says_that_its_labels_lead_nowhere_for_long(
    reader: Client, issued: LabelRange
) -> None:
    said = text_of(reader.get(f"/labels/{issued.pk}/print"))
    assert "http://testserver/t/veskerdal-hire/VH-0001S" in said
    assert "This node has no name of its own yet" in said


@pytest.mark.parametrize(("host", "warned"), [("ski.example.org", False), ("10.0.0.7", True)])
def test_labels_carry_the_name_that_the_node_keeps(
    host: str, warned: bool, reader: Client, issued: LabelRange, settings: Settings
) -> None:
    settings.NODE_HOST = "ski.example.org"
    settings.ALLOWED_HOSTS = [host]
    said = text_of(reader.get(f"/labels/{issued.pk}/print", headers={"host": host}))
    assert "https://ski.example.org/t/veskerdal-hire" in said
    assert ("You opened this page under another name." in said) is warned


def test_tags_are_printed_again_and_strange_ones_are_named(
    reader: Client, shop: Actor, issued: LabelRange
) -> None:
    a_ski(shop, tag="OLD-7")
    again = tags_of(issued)[2]
    answer = reader.get("/labels/tags/print", {"tags": f"old-7, {again};{again}\nVH-00039"})
    said = text_of(answer)
    assert "3 labels, from OLD-7 on." in said
    assert "On no ski and not issued here: VH-00039." in said
    page = answer.content.decode()
    # One of the three was issued, and its check character alone is underlined.
    assert page.count('height="0.35"') == 1
    assert f"{again}</text>" in page


@pytest.mark.parametrize(
    ("tags", "said"),
    [
        ("", "This field is required."),
        (" , ;", "Give at least one tag."),
        ("VH 0001 Ä1", "Not a tag: Ä1."),
        ("-1", "Not a tag: -1."),
        (" ".join(f"T{number}" for number in range(501)), "At most 500 at a time."),
    ],
)
def test_what_is_no_tag_is_not_printed(tags: str, said: str, reader: Client) -> None:
    answer = reader.get("/labels/tags/print", {"tags": tags})
    assert answer.status_code == 422
    assert said in text_of(answer)
    assert "<svg" not in answer.content.decode()


@pytest.mark.parametrize("ranges", [1, 3])
def test_the_pages_ask_a_fixed_number_of_queries(
    ranges: int, reader: Client, shop: Actor, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for number in range(ranges):
        last = issue_range(prefix=f"{'ABC'[number]}-", count=20 * ranges, by=shop)
    with django_assert_num_queries(4):
        reader.get("/labels")
    with django_assert_num_queries(5):
        reader.get(f"/labels/{last.pk}/print")
    with django_assert_num_queries(6):
        reader.get("/labels/tags/print?tags=A-0001,B-0002,C-0003")
