"""A pull brings what is new, once, and goes on where it was cut."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest

from apps.exchange.models import PeerEntry, PeerRefusal
from apps.exchange.peers.errors import PeerTrouble, What
from apps.exchange.peers.keeping import add_peer, own_key, remove_peer
from apps.exchange.peers.remote import Remote
from apps.exchange.peers.transport import Answer, Ask
from apps.records.key_proof import prove
from apps.records.notes import Note, VerifierKey
from apps.registry.actors import OPERATOR
from apps.registry.identity import ensure_identity
from apps.registry.models import Record
from tests.exchange.homes import FakeNode, Home, key_of, signed, vkey_of
from tests.exchange.pulls import HOST, a_home, followed, only, peer_of, pulled, trouble

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _identity(db: None) -> None:
    ensure_identity()


def here(home: Home) -> list[str]:
    """The ids of a home's records that are here, in the order of the log."""
    known = Record.objects.filter(id__in=[one.id for one in home.records])
    return list(known.order_by("log_index").values_list("id", flat=True))


def test_all_rows_come_in_order_with_their_origin() -> None:
    home = a_home()
    result = pulled(followed(home))
    assert (result.before, result.size, result.new, result.refused) == (0, 6, 6, 0)
    assert here(home) == [one.id for one in home.records]
    assert set(Record.objects.filter(id__in=here(home)).values_list("origin", flat=True)) == {HOST}


def test_a_second_pull_brings_what_is_new_and_reads_the_old_again() -> None:
    home = a_home()
    node = followed(home)
    pulled(node)
    node.add([home.write("usage", "fellbench", tag="FB-1")])
    result = pulled(node)
    assert (result.before, result.size, result.new, result.here, result.reread) == (6, 7, 1, 0, 6)
    assert len(here(home)) == 7


@pytest.mark.parametrize("page", [1, 2, 5])
def test_pages_of_any_size_come_to_the_same(page: int) -> None:
    home = a_home(jobs=6)
    node = followed(home, page=page)
    assert pulled(node).new == 9
    assert here(home) == [one.id for one in home.records]
    assert list(PeerEntry.objects.order_by("index").values_list("record_id", flat=True)) == [
        one.id for one in home.records
    ]


@pytest.mark.parametrize("cut_at", range(10))
def test_a_pull_that_was_cut_goes_on_where_it_ended(cut_at: int) -> None:
    home = a_home(jobs=6)
    node = followed(home, page=2)

    def cut(_ask: Ask, answer: Answer) -> Answer:
        if len(node.asked) > cut_at:
            raise PeerTrouble(What.CUT, "The answer was cut.")
        return answer

    node.twist = cut
    with pytest.raises(PeerTrouble):
        pulled(node)
    assert peer_of(node).trouble == "The answer was cut."
    kept = len(here(home))
    node.twist = lambda _, answer: answer
    result = pulled(node)
    assert (result.new, result.size) == (9 - kept, 9)
    assert here(home) == [one.id for one in home.records]
    assert peer_of(node).trouble == ""


def test_a_cut_pull_is_held_to_the_checkpoint_that_it_saw() -> None:
    home = a_home(jobs=6)
    node = followed(home, page=2)
    node.twist = only("log/records", lambda _: Answer(500, "text/html", b""))
    trouble(node)
    assert (peer_of(node).size, peer_of(node).checkpoint_size) == (0, 9)
    node.rows.pop()
    node.twist = lambda _, answer: answer
    with pytest.raises(Exception, match="row 8 is the first that is gone"):
        pulled(node)


def test_a_record_that_two_peers_have_is_here_once() -> None:
    home = a_home()
    lake = Home("lake.example", ["tarnside"])
    relay = followed(lake)
    relay.add(home.records)
    assert pulled(followed(home)).new == 6
    result = pulled(relay)
    assert (result.new, result.here) == (2, 6)
    assert Record.objects.get(id=home.records[0].id).origin == HOST


def test_progress_is_told_page_by_page() -> None:
    told: list[tuple[str, int, int]] = []
    pulled(followed(a_home(), page=4), progress=lambda *seen: told.append(seen))
    assert told == [(HOST, 0, 6), (HOST, 4, 6), (HOST, 6, 6)]


def test_the_peer_gets_a_cosignature_that_holds() -> None:
    node = followed(a_home())
    assert pulled(node).not_cosigned == ""
    note = Note.from_bytes(node.cosignatures[-1].encode())
    assert note.check(own_key().as_cosigner).holds
    assert note.check(VerifierKey.from_text(vkey_of(HOST))).holds


def test_a_peer_that_takes_no_cosignature_is_followed_all_the_same() -> None:
    node = followed(a_home())
    node.twist = only("log/cosignatures", lambda answer: replace(answer, status=403))
    result = pulled(node)
    assert "does not let this node" in result.not_cosigned
    assert result.new == 6


def test_an_empty_log_is_well() -> None:
    node = followed(a_home())
    node.rows.clear()
    assert pulled(node).size == 0
    node.add(a_home().records)
    assert pulled(node).new == 6


def test_what_is_left_when_its_turn_is_over_comes_with_the_next() -> None:
    node = followed(a_home(), page=1)
    result = pulled(node, turn_s=0)
    assert (result.size, result.not_cosigned, node.cosignatures) == (0, "its turn was over", [])
    with pytest.raises(PeerTrouble) as caught:
        Remote(node, VerifierKey.from_text(vkey_of(HOST)), turn_s=0).rows(0, 1)
    assert caught.value.what is What.TIMED_OUT
    assert (pulled(node).size, len(node.cosignatures)) == (6, 1)


def test_an_erased_row_keeps_its_place() -> None:
    home = a_home()
    node = followed(home)
    gone = home.records[4].id
    node.erased = {gone: "ab" * 32}
    result = pulled(node)
    assert (result.new, result.erased, result.size) == (5, 1, 6)
    assert PeerRefusal.objects.get().code == "erased-without-a-record"
    assert not Record.objects.filter(id=gone).exists()
    assert PeerEntry.objects.get(index=4).record_id == gone
    assert pulled(node).reread == 6


def test_a_record_that_was_only_called_erased_is_asked_for_again() -> None:
    home = a_home()
    node = followed(home)
    gone = home.records[4].id
    node.erased = {gone: "ab" * 32}
    assert (pulled(node).refused, pulled(node).refused) == (1, 1)
    node.erased = {}
    result = pulled(node)
    assert (result.new, result.refused) == (1, 0)
    assert Record.objects.filter(id=gone).exists()


def test_the_erasure_of_a_row_settles_it_wherever_it_stands() -> None:
    home = a_home()
    gone = home.records[4].id
    ski = {"shop": home.handle("fellbench"), "tag": "FB-1"}
    body = {"reason": "author_asked"}
    erasure = home.write("erasure", "node", refers_to=[gone], body=body, ski=ski)
    for page in (1, 1000):
        node = FakeNode(home.host, list(home.records), page=page, erased={gone: erasure.id})
        add_peer(url=f"https://{home.host}", vkey=vkey_of(home.host), by=OPERATOR)
        result = pulled(node)
        assert (result.size, result.erased > 0, result.refused) == (7, True, 0)
        remove_peer(host=home.host, by=OPERATOR)


def test_a_row_that_is_erased_later_is_no_contradiction() -> None:
    home = a_home()
    node = followed(home)
    pulled(node)
    node.erased = {home.records[4].id: "ab" * 32}
    assert pulled(node).reread == 6


def test_old_rows_are_read_again_in_turn() -> None:
    node = followed(a_home(jobs=297))
    assert pulled(node).size == 300
    assert [(pulled(node).reread, peer_of(node).reread) for _ in range(3)] == [
        (256, 256),
        (256, 212),
        (256, 168),
    ]
    assert (pulled(node, old_rows=5000).reread, pulled(node, old_rows=0).reread) == (300, 0)
    assert peer_of(node).reread == 168


def test_a_peer_that_asks_for_a_little_time_gets_it() -> None:
    home = a_home()
    node = followed(home)
    waits: list[float] = []
    again = iter([Answer(429, "text/plain", b"", wait_s=3), Answer(503, "x/y", b"", wait_s=0)])

    def busy(_ask: Ask, answer: Answer) -> Answer:
        return next(again, answer)

    node.twist = busy
    remote = Remote(node, VerifierKey.from_text(vkey_of(HOST)), sleep=waits.append)
    assert remote.checkpoint().checkpoint.size == 6
    assert waits == [3, 1]


def test_what_the_door_refuses_is_noted_and_the_rest_goes_in() -> None:
    home = a_home()
    stray = home.write("job", "tarnside", tag="FB-1", shop=f"fellbench@{HOST}")
    home.write("usage", "fellbench", tag="FB-1")
    node = followed(home)
    result = pulled(node)
    assert (result.new, result.refused, result.size) == (7, 1, 8)
    (refusal,) = PeerRefusal.objects.all()
    assert (refusal.index, refusal.record_id, refusal.code) == (6, stray.id, "bad-signature")
    assert "is not known here" in refusal.sentence


def test_what_was_refused_is_taken_once_nothing_speaks_against_it() -> None:
    home = a_home()
    stray = home.write("job", "tarnside", tag="FB-1", shop=f"fellbench@{HOST}")
    node = followed(home)
    assert pulled(node).refused == 1
    assert pulled(node).refused == 1
    node.add([home.add_key("tarnside", "shop")])
    result = pulled(node)
    assert (result.new, result.refused) == (2, 0)
    assert Record.objects.filter(id=stray.id).exists()
    assert not PeerRefusal.objects.exists()


def test_many_refusals_in_one_page_are_sorted_out() -> None:
    home = a_home()
    for number in range(8):
        home.write("description", f"no-{number}", tag=f"NO-{number}")
        home.write("job", f"no-{number}", tag=f"NO-{number}")
    home.write("usage", "fellbench", tag="FB-1")
    result = pulled(followed(home, page=100))
    assert (result.new, result.refused) == (7, 16)


def test_rows_that_can_not_be_sorted_out_together_go_in_one_by_one(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("apps.exchange.peers.appending.TRIES_TOGETHER", 0)
    home = a_home()
    home.write("job", "nobody", tag="FB-1", shop=f"fellbench@{HOST}")
    home.write("usage", "fellbench", tag="FB-1")
    result = pulled(followed(home))
    assert (result.new, result.refused, PeerRefusal.objects.get().index) == (7, 1, 6)


def test_a_forged_record_is_refused_by_name() -> None:
    home = a_home()
    forged = replace(home.make("job", "fellbench", tag="FB-1"), signature="A" * 86)
    node = followed(home)
    node.add([forged])
    assert pulled(node).refused == 1
    assert PeerRefusal.objects.get().code == "bad-signature"


def test_no_peer_brings_another_first_key_than_the_one_that_was_pinned() -> None:
    home = a_home()
    false = Home(HOST, [])
    impostor = key_of("impostor")
    document = json.loads(false.records[0].data)
    document["key"] = impostor.key_id
    document["body"] = {
        **document["body"],
        "public": impostor.public.text,
        "proof": prove(impostor, false.handle("node")),
    }
    lake = Home("lake.example", [])
    lake.records.append(signed(document, impostor))
    fell = followed(home)
    assert pulled(followed(lake)).refused == 1
    assert PeerRefusal.objects.get().code == "not-the-pinned-key"
    assert pulled(fell).new == 6


def test_a_third_node_that_brings_the_end_of_a_key_shuts_no_record_out() -> None:
    """Else it could keep the records back, and they would be refused from their home for good."""
    home = a_home()
    lake = Home("lake.example", [])
    ends = {"shop": home.handle("fellbench"), "key": key_of(home.handle("fellbench")).key_id}
    end = home.write("key-end", "node", body={**ends, "reason": "rotated"})
    fell, third = followed(home), followed(lake)
    third.add([record for record in home.records if b'"kind":"key' in record.data])
    assert pulled(third).refused == 1
    assert PeerRefusal.objects.get().code == "end-from-home"
    assert pulled(fell).refused == 0
    assert set(here(home)) == {record.id for record in home.records}
    assert pulled(third).refused == 0
    assert end.id in here(home)


def test_a_pull_beside_another_one_ends() -> None:
    home = a_home(jobs=4)
    node = followed(home, page=2)
    state = {"inner": True}

    def meanwhile(ask: Ask, answer: Answer) -> Answer:
        if ask.path == "log/consistency" and state.pop("inner", False):
            pulled(FakeNode(HOST, list(node.rows)))
        return answer

    node.twist = meanwhile
    with pytest.raises(PeerTrouble, match="Another pull") as caught:
        pulled(node)
    assert caught.value.what is What.PULLED_ELSEWHERE
    assert len(here(home)) == 7
