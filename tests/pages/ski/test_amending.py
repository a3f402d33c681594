"""Taking an own record back and disputing another shop's, from the page of the record."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.test import Client

from apps.registry.actors import OPERATOR, Actor
from apps.registry.erasing import erase_record
from apps.registry.models import KeptKey, Record
from apps.registry.sharing import make_share_link
from tests.pages.people import text_of
from tests.pages.ski.making import a_grind
from tests.records.test_reading import later_format
from tests.registry.foreign import EAST, introduction, shop_of
from tests.registry.making import TAG, a_draft, pulled, signed, write

pytestmark = pytest.mark.django_db

TOKEN = "0b" * 16
FOUND = "Holes are beside it.\nThe core is wet."


def written(kind: str) -> list[Any]:
    """The records of a kind, in the order of the log."""
    rows = Record.objects.of_kind(kind).order_by("log_index")
    return [json.loads(bytes(row.document)) for row in rows]


@pytest.fixture
def own(shop: Actor, ski: str) -> str:
    """A job of the shop on its ski; gives the address of the record."""
    (job,) = write(shop, a_grind("2025-02-01"))
    return f"{ski}/records/{job.record_id}"


@pytest.fixture
def foreign(other_shop: Actor, ski: str) -> str:
    """A job of another shop on the ski; gives the address of the record."""
    (job,) = write(other_shop, a_grind("2025-02-02"))
    return f"{ski}/records/{job.record_id}"


def test_an_own_record_is_taken_back(technician: Client, ski: str, own: str) -> None:
    asked = technician.get(own)
    assert "What it is Job, 1 Feb 2025" in text_of(asked)
    assert "Take this back" in text_of(asked)
    assert 'href="/bench/fellbench/FB-0042/job"' in asked.content.decode()
    answer = technician.post(own, {"reason": "wrong_ski"}, follow=True)
    assert answer.redirect_chain == [(ski, 302)]
    assert "Written: 1 record." in text_of(answer)
    assert "by fellbench: belongs to another ski." in text_of(answer)
    (retraction,) = written("retraction")
    assert retraction["body"] == {"reason": "wrong_ski"}
    assert own.endswith(retraction["refers_to"][0])
    assert "This record was taken back." in text_of(technician.get(own))


def test_only_a_job_is_written_anew_on_the_bench(technician: Client, shop: Actor, ski: str) -> None:
    (usage,) = write(shop, a_draft("usage", body={"days": 4}))
    shown = technician.get(f"{ski}/records/{usage.record_id}")
    assert "Take this back" in text_of(shown)
    assert "Write the job anew" not in text_of(shown)


def test_the_record_of_another_shop_is_disputed(technician: Client, ski: str, foreign: str) -> None:
    assert "Dispute it" in text_of(technician.get(foreign))
    sent = {"reason": "other", "reason_text": "Two grinds, not one", "remarks": FOUND}
    answer = technician.post(foreign, sent, follow=True)
    assert answer.redirect_chain == [(ski, 302)]
    assert "by fellbench: Two grinds, not one." in text_of(answer)
    (dispute,) = written("dispute")
    assert dispute["body"] == sent
    assert foreign.endswith(dispute["refers_to"][0])


def test_remarks_of_a_dispute_are_not_for_buyers(
    technician: Client, shop: Actor, ski: str, foreign: str
) -> None:
    technician.post(foreign, {"reason": "not_found", "remarks": FOUND})
    assert "The core is wet." in text_of(technician.get(ski))
    link = make_share_link(shop=shop.handle, tag="FB-0042", by=shop)
    seen = text_of(Client().get(f"/s/{link.token}"))
    assert "not to be found on the ski" in seen
    assert "The core is wet." not in seen


def test_a_dispute_is_taken_back_from_its_own_page(
    technician: Client, ski: str, foreign: str
) -> None:
    technician.post(foreign, {"reason": "not_found"})
    dispute = Record.objects.of_kind("dispute").get()
    page = f"{ski}/records/{dispute.id}"
    assert f'href="{page}"' in technician.get(ski).content.decode()
    technician.post(page, {"reason": "withdrawn"})
    assert "and the dispute taken back" in text_of(technician.get(ski))


@pytest.mark.parametrize(
    ("address", "kind", "reason"),
    [("own", "retraction", "duplicate"), ("foreign", "dispute", "not_found")],
)
def test_a_form_that_is_sent_twice_writes_once(
    technician: Client, request: pytest.FixtureRequest, address: str, kind: str, reason: str
) -> None:
    page = request.getfixturevalue(address)
    for _ in range(2):
        assert technician.post(page, {"reason": reason, "once": TOKEN}).status_code == 302
    assert len(written(kind)) == 1


def test_what_was_taken_back_is_not_taken_back_again(technician: Client, own: str) -> None:
    technician.post(own, {"reason": "duplicate"})
    answer = technician.post(own, {"reason": "withdrawn"})
    assert answer.status_code == 422
    assert "This record was taken back." in text_of(answer)
    assert len(written("retraction")) == 1


@pytest.mark.parametrize(
    ("address", "sent", "field", "said"),
    [
        ("own", {}, "reason", "This field is required."),
        ("own", {"reason": "not_found"}, "reason", "Select a valid choice."),
        ("own", {"reason": "other"}, "reason_text", "Say here what it is."),
        ("foreign", {"reason": "duplicate"}, "reason", "Select a valid choice."),
        ("foreign", {"reason": "not_found", "reason_text": "x"}, "reason_text", "“other” only"),
        ("foreign", {"reason": "not_found", "remarks": "a\u202eb"}, "remarks", "Take out"),
    ],
)
def test_what_is_wrong_is_told_at_the_field(
    technician: Client,
    request: pytest.FixtureRequest,
    address: str,
    sent: dict[str, str],
    field: str,
    said: str,
) -> None:
    answer = technician.post(request.getfixturevalue(address), sent)
    assert answer.status_code == 422
    assert said in " ".join(answer.context["form"].errors[field])
    assert f'id="id_{field}_error"' in answer.content.decode()
    assert written("retraction") == written("dispute") == []


def test_what_the_registry_refuses_is_shown_in_its_own_words(
    technician: Client, shop: Actor, ski: str
) -> None:
    finding = {"what": "gouge", "severity": "moderate", "state": "open"}
    steps = [{"operation": "stone_grind"}]
    (job,) = write(shop, a_draft("job", body={"steps": steps}))
    replacement = {
        "kind": "job",
        "performed_at": "2025-01-31",
        "body": {"steps": steps, "findings": [finding]},
    }
    body = {"reason": "omitted", "replacement": replacement}
    (mended,) = write(shop, a_draft("correction", refers_to=[job.record_id], body=body))
    closed = {**finding, "state": "repaired", "closes": {"record": job.record_id, "index": 0}}
    write(shop, a_draft("job", performed_at="2025-02-03", body={"findings": [closed]}))
    answer = technician.post(f"{ski}/records/{mended.record_id}", {"reason": "withdrawn"})
    assert answer.status_code == 422
    assert '<span lang="en">Finding 0 of that job' in answer.content.decode()
    assert written("retraction") == []


@pytest.mark.parametrize("kind", ["retraction", "dispute"])
def test_nothing_is_said_about_what_is_final(
    technician: Client, shop: Actor, other_shop: Actor, ski: str, own: str, kind: str
) -> None:
    # A shop's own retraction is final, and the dispute of another shop is that shop's to take back.
    by = shop if kind == "retraction" else other_shop
    reason = {"reason": "wrong_ski"}
    (last,) = write(by, a_draft(kind, refers_to=[own.rpartition("/")[2]], body=reason))
    page = f"{ski}/records/{last.record_id}"
    assert 'name="once"' not in technician.get(page).content.decode()
    answer = technician.post(page, reason)
    assert answer.status_code == 400
    assert "This record is final" in text_of(answer)
    assert Record.objects.of_kind("retraction", "dispute").count() == 1


def test_what_can_not_be_read_is_neither_taken_back_nor_disputed(
    technician: Client, shop: Actor, ski: str, own: str
) -> None:
    east = shop_of(EAST)
    pulled(*introduction(EAST, east), peer=EAST)
    about = {"shop": shop.handle, "tag": TAG}
    document = later_format(author=east.handle, key=east.key.key_id, ski=about)
    pulled(signed(document, key=east.key), peer=EAST)
    later = Record.objects.get(kind="x-ray")
    erase_record(record_id=own.rpartition("/")[2], reason="harmful", by=OPERATOR)
    for page, shown in ((own, "Job, 1 Feb 2025"), (f"{ski}/records/{later.id}", "X-ray, ")):
        asked = technician.get(page)
        assert f"What it is {shown}" in text_of(asked)
        assert 'name="once"' not in asked.content.decode()
        assert technician.post(page, {"reason": "wrong_ski"}).status_code == 400


def test_a_retraction_by_another_shop_takes_nothing_back(
    technician: Client, shop: Actor, own: str
) -> None:
    east = shop_of(EAST)
    pulled(*introduction(EAST, east), peer=EAST)
    about = {"shop": shop.handle, "tag": TAG}
    refers_to = [own.rpartition("/")[2]]
    pulled(east.signed("retraction", refers_to=refers_to, **about), peer=EAST)
    assert "Take this back" in text_of(technician.get(own))


def test_who_only_reads_sees_no_form_and_sends_none(reader: Client, own: str, foreign: str) -> None:
    for page in (own, foreign):
        assert 'name="once"' not in reader.get(page).content.decode()
        assert reader.post(page, {"reason": "wrong_ski"}).status_code == 403
    assert written("retraction") == written("dispute") == []


def test_a_shop_that_signs_itself_is_told_so(technician: Client, shop: Actor, own: str) -> None:
    KeptKey._default_manager.filter(shop=shop.handle).delete()
    shown = technician.get(own)
    assert "Your shop keeps its signing key itself" in text_of(shown)
    assert 'name="once"' not in shown.content.decode()
    assert technician.post(own, {"reason": "wrong_ski"}).status_code == 403


def test_a_record_of_another_ski_is_not_found(technician: Client, ski: str) -> None:
    address = f"{ski}/records/{'0' * 64}"
    assert technician.get(address).status_code == 404
    assert technician.post(address, {"reason": "wrong_ski"}).status_code == 404
