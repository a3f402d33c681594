"""How far to believe a history: whose keys signed, who saw the log, what is gone or ignored."""

from __future__ import annotations

import pytest
from django.test import Client

from apps.exchange import bundles
from apps.exchange.models import Cosignature
from apps.pages.ski.doubts import IGNORED
from apps.records.bundle import verify_bundle
from apps.records.checkpoint import log_origin
from apps.records.folding import IgnoredReason
from apps.records.names import node_host
from apps.records.notes import VerifierKey
from apps.registry import tree
from apps.registry.actors import OPERATOR, Actor
from apps.registry.erasing import erase_record
from apps.registry.identity import public_key_of_node
from apps.registry.key_actions import replace_signing_key
from apps.registry.models import Record
from tests.pages.people import text_of
from tests.pages.ski.making import REMARK, TECHNICIAN, tuned
from tests.records.test_reading import later_format
from tests.registry.foreign import EAST, introduction, shop_of
from tests.registry.making import NOW, TAG, a_draft, pulled, signed, write

pytestmark = pytest.mark.django_db


def test_who_wrote_how_often_and_whose_key_signed(
    technician: Client, shop: Actor, other_shop: Actor, ski: str
) -> None:
    tuned(shop)
    write(other_shop, a_draft("measurement"))
    shown = text_of(technician.get(ski))
    assert "fellbench: 2 records, signed by the node for the shop" in shown
    assert "tarnedge: 1 record, signed by the node for the shop" in shown


def test_a_key_that_ended_is_told_with_what_it_signed(
    technician: Client, shop: Actor, ski: str
) -> None:
    tuned(shop)
    replace_signing_key(shop=shop.handle, by=OPERATOR, now=NOW)
    write(shop, a_draft("usage"))
    shown = text_of(technician.get(ski))
    said = "A key of fellbench ended on 1 Mar 2025 (replaced by another key)."
    assert f"{said} Records here that it signed before: 2." in shown


def test_a_key_that_still_speaks_is_no_matter(technician: Client, ski: str) -> None:
    assert "A key of" not in text_of(technician.get(ski))


def test_an_erased_record_leaves_its_place_and_its_reason(
    technician: Client, shop: Actor, ski: str
) -> None:
    (job,) = tuned(shop)
    erase_record(record_id=job.record_id, reason="personal_data", by=OPERATOR, now=NOW)
    shown = text_of(technician.get(ski))
    assert "31 Jan 2025, fellbench, job: erased (personal data)." in shown
    assert REMARK not in shown
    assert "1 Mar 2025, 12:00: erasure" in shown
    raw = text_of(technician.get(f"{ski}/records/{job.record_id}"))
    assert "Its bytes were erased." in raw
    assert "The bytes that were signed" not in raw


def test_the_log_is_told_with_its_root(technician: Client, ski: str) -> None:
    shown = text_of(technician.get(ski))
    assert f"{log_origin('localhost.invalid')} holds 3 records, the last of" in shown
    assert tree.root(3).hex() in shown
    assert "No other node has cosigned it, so this node's word stands alone." in shown


def test_a_witness_is_told_with_what_it_saw(technician: Client, shop: Actor, ski: str) -> None:
    Cosignature.objects.create(
        witness="lake.example", size=3, root=tree.root(3).hex(), line="-", noted_at=NOW
    )
    shown = text_of(technician.get(ski))
    assert "lake.example saw and cosigned 3 records of it on 1 Mar 2025, 12:00." in shown
    assert "All records of this ski are among them." in shown
    tuned(shop)
    shown = text_of(technician.get(ski))
    assert "The newest records of this ski are not among them yet." in shown


def test_records_of_other_nodes_are_told_with_their_node(
    technician: Client, shop: Actor, ski: str
) -> None:
    east = shop_of(EAST)
    (job,) = tuned(shop)
    pulled(*introduction(EAST, east), peer=EAST)
    about = {"shop": shop.handle, "tag": TAG}
    pulled(east.signed("measurement", **about), peer=EAST)
    pulled(east.signed("retraction", refers_to=[job.record_id], **about), peer=EAST)
    shown = text_of(technician.get(ski))
    assert f"Some records came from other nodes: {EAST}." in shown
    assert f"bench@{EAST}: 2 records, signed by the shop itself" in shown
    assert "A shop tried to change what another one wrote. That has no effect." in shown
    kept = Record.objects.get(author=east.handle, kind="measurement")
    assert f"Came from {EAST}" in text_of(technician.get(f"{ski}/records/{kept.id}"))


def test_a_record_of_a_later_format_is_told_though_it_can_not_be_read(
    technician: Client, shop: Actor, ski: str
) -> None:
    east = shop_of(EAST)
    pulled(*introduction(EAST, east), peer=EAST)
    about = {"shop": shop.handle, "tag": TAG}
    document = later_format(author=east.handle, key=east.key.key_id, ski=about)
    pulled(signed(document, key=east.key), peer=EAST)
    shown = text_of(technician.get(ski))
    assert f"bench@{EAST}, x-ray: of a later format than this node reads." in shown


def test_every_reason_why_a_record_is_ignored_has_its_words() -> None:
    assert set(IGNORED) == set(IgnoredReason)


def test_the_bundle_verifies_without_the_node(technician: Client, shop: Actor, ski: str) -> None:
    tuned(shop)
    answer = technician.get(f"{ski}/bundle")
    host = node_host(shop.handle)
    public = public_key_of_node(host)
    assert public is not None
    report = verify_bundle(answer.content, VerifierKey(log_origin(host), public).text)
    assert report.faults == ()
    assert report.facts is not None
    assert report.facts.records == 2
    assert answer["Content-Disposition"] == 'attachment; filename="FB-0042.bundle.json"'
    assert TECHNICIAN in answer.content.decode()


def test_a_history_that_no_bundle_holds_is_told(
    technician: Client, shop: Actor, ski: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    tuned(shop)
    monkeypatch.setattr(bundles, "MOST_ROWS", 1)
    answer = technician.get(f"{ski}/bundle")
    assert answer.status_code == 400
    assert "a bundle holds no more" in text_of(answer)


def test_the_bundle_asks_for_a_log_in(client: Client, ski: str) -> None:
    assert client.get(f"{ski}/bundle").status_code == 302
    assert client.get(f"{ski}/records/{'a' * 64}").status_code == 302
    assert client.post(f"{ski}/certificate").status_code == 302
