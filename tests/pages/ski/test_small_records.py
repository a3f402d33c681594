"""Days out and the status of a ski, written from its page."""

from __future__ import annotations

import json
from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from apps.registry.actors import Actor
from apps.registry.models import KeptKey, Record
from tests.pages.people import text_of
from tests.registry.making import a_draft, a_ski, write

pytestmark = pytest.mark.django_db

USE, STATUS = "/t/fellbench/FB-0042/use", "/t/fellbench/FB-0042/status"
OTHER, DAY = "FB-0043", "2025-02-20"
TOKEN = "0a" * 16


def written(kind: str) -> list[tuple[str, Any]]:
    """Tag and body of the records of a kind, in the order of the log."""
    rows = Record.objects.of_kind(kind).order_by("log_index")
    documents = [json.loads(bytes(row.document)) for row in rows]
    return [(one["ski"]["tag"], one["body"]) for one in documents]


@pytest.fixture
def pair(shop: Actor, ski: str) -> str:
    """The ski with another one of the shop as its pair; gives the address of its page."""
    a_ski(shop, tag=OTHER)
    other = {"other_ski": {"shop": "fellbench", "tag": OTHER}}
    write(shop, a_draft("pair", body=other))
    return ski


@pytest.mark.parametrize("page", [USE, STATUS])
def test_both_are_reached_from_the_ski_and_from_the_bench(
    technician: Client, ski: str, page: str
) -> None:
    for address in (ski, "/bench/fellbench/FB-0042"):
        assert f'href="{page}"' in technician.get(address).content.decode()


def test_days_out_are_written_and_shown(technician: Client, ski: str) -> None:
    assert "Nobody reported days out." in text_of(technician.get(USE))
    answer = technician.post(USE, {"days": "7", "day": DAY, "once": TOKEN}, follow=True)
    assert answer.redirect_chain == [(ski, 302)]
    assert "Written: 1 record." in text_of(answer)
    assert "7 days out were reported." in text_of(answer)
    assert written("usage") == [("FB-0042", {"days": 7})]


def test_a_ski_that_stood_was_out_on_no_day(technician: Client, ski: str) -> None:
    assert technician.post(USE, {"days": "0", "day": DAY}).status_code == 302
    assert written("usage") == [("FB-0042", {"days": 0})]


@pytest.mark.parametrize(
    ("both", "tags"), [({"both": "on"}, ["FB-0042", OTHER]), ({}, ["FB-0042"])]
)
def test_a_pair_is_out_together_unless_it_is_said_otherwise(
    technician: Client, pair: str, both: dict[str, str], tags: list[str]
) -> None:
    asked = technician.get(USE)
    assert f"The same for {OTHER}, the other ski of the pair" in text_of(asked)
    assert "checked" in str(asked.context["form"]["both"])
    technician.post(USE, {"days": "3", "day": DAY, **both})
    assert [tag for tag, _body in written("usage")] == tags


def test_the_other_ski_of_another_shop_is_not_reported_on(
    technician: Client, shop: Actor, other_shop: Actor, ski: str
) -> None:
    a_ski(other_shop, tag="TE-1")
    other = {"other_ski": {"shop": "tarnedge", "tag": "TE-1"}}
    write(shop, a_draft("pair", body=other))
    technician.post(USE, {"days": "3", "day": DAY, "both": "on"})
    assert written("usage") == [("FB-0042", {"days": 3})]


@pytest.mark.parametrize(
    ("page", "kind", "sent", "changed"),
    [
        (USE, "usage", {"days": "3", "day": DAY}, {"days": "4"}),
        (STATUS, "status", {"status": "on_bench"}, {"status": "sold"}),
    ],
)
def test_a_form_that_is_sent_twice_writes_once(
    technician: Client,
    ski: str,
    page: str,
    kind: str,
    sent: dict[str, str],
    changed: dict[str, str],
) -> None:
    for _ in range(2):
        assert technician.post(page, {**sent, "once": TOKEN}).status_code == 302
    answer = technician.post(page, {**sent, **changed, "once": TOKEN})
    assert answer.status_code == 422
    assert "says something else now. Nothing was added." in text_of(answer)
    assert len(written(kind)) == 1
    again = {**sent, **changed, "once": answer.context["token"]}
    assert technician.post(page, again).status_code == 302
    assert len(written(kind)) == 2


TOMORROW = (timezone.localdate() + timedelta(days=2)).isoformat()


@pytest.mark.parametrize(
    ("sent", "field", "said"),
    [
        ({"days": "", "day": DAY}, "days", "This field is required."),
        ({"days": "401", "day": DAY}, "days", "less than or equal to 400"),
        ({"days": "-1", "day": DAY}, "days", "greater than or equal to 0"),
        ({"days": "1.5", "day": DAY}, "days", "Enter a whole number."),
        ({"days": "1", "day": "soon"}, "day", "Enter a valid date."),
        ({"days": "1", "day": TOMORROW}, "day", "This day lies in the future."),
        ({"days": "1", "day": "1949-12-31"}, "day", "is outside 1950 to 2100"),
    ],
)
def test_what_is_wrong_with_days_out_is_told_at_the_field(
    technician: Client, ski: str, sent: dict[str, str], field: str, said: str
) -> None:
    answer = technician.post(USE, sent)
    assert answer.status_code == 422
    assert said in " ".join(answer.context["form"].errors[field])
    assert said in text_of(answer)
    assert f'id="id_{field}_error"' in answer.content.decode()
    assert written("usage") == []


def test_a_status_with_its_reason_is_written_and_shown(technician: Client, ski: str) -> None:
    assert "Nobody stated one." in text_of(technician.get(STATUS))
    sent = {"status": "retired", "reason": "other", "reason_text": "Kept for teaching."}
    answer = technician.post(STATUS, sent, follow=True)
    assert answer.redirect_chain == [(ski, 302)]
    assert "Retired, Kept for teaching." in text_of(answer)
    assert written("status") == [("FB-0042", sent)]
    assert "On record: retired." in text_of(technician.get(STATUS))


@pytest.mark.parametrize(
    ("sent", "field", "said"),
    [
        ({"status": ""}, "status", "This field is required."),
        ({"status": "flown"}, "status", "Select a valid choice."),
        ({"status": "retired"}, "reason", "Say why the ski is retired."),
        ({"status": "sold", "reason": "other"}, "reason_text", "Say here what it is."),
        ({"status": "sold", "reason_text": "x"}, "reason_text", "goes with “other” only"),
    ],
)
def test_what_is_wrong_with_a_status_is_told_at_the_field(
    technician: Client, ski: str, sent: dict[str, str], field: str, said: str
) -> None:
    answer = technician.post(STATUS, sent)
    assert answer.status_code == 422
    assert said in " ".join(answer.context["form"].errors[field])
    assert f'id="id_{field}_error"' in answer.content.decode()
    assert written("status") == []


@pytest.mark.parametrize("page", ["use", "status"])
def test_only_who_writes_for_the_shop_of_the_tag(
    reader: Client, technician: Client, other_shop: Actor, ski: str, page: str
) -> None:
    a_ski(other_shop, tag="TE-1")
    assert reader.get(f"{ski}/{page}").status_code == 403
    assert f"{ski}/{page}" not in reader.get(ski).content.decode()
    assert technician.get(f"/t/tarnedge/TE-1/{page}").status_code == 403
    assert f"/{page}" not in technician.get("/t/tarnedge/TE-1").content.decode()
    assert f"/TE-1/{page}" not in technician.get("/bench/tarnedge/TE-1").content.decode()
    assert technician.get(f"/t/fellbench/FB-9999/{page}").status_code == 404


@pytest.mark.parametrize(
    ("page", "sent"), [(USE, {"days": "3", "day": DAY}), (STATUS, {"status": "sold"})]
)
def test_a_shop_that_signs_itself_is_told_so_and_gets_no_form(
    technician: Client, shop: Actor, ski: str, page: str, sent: dict[str, str]
) -> None:
    KeptKey._default_manager.filter(shop=shop.handle).delete()
    shown = technician.get(page)
    assert "Your shop keeps its signing key itself" in text_of(shown)
    assert 'name="once"' not in shown.content.decode()
    assert technician.post(page, sent).status_code == 403
    assert written("usage") == written("status") == []
