"""The node's own key, and which keys records may begin and end."""

from __future__ import annotations

from typing import Any

import pytest

from apps.records.canonical import record_id
from apps.records.key_proof import prove
from apps.records.signing import PrivateKey
from apps.registry import actions
from apps.registry.actors import NODE, OPERATOR, Actor, Scope, shop_actor
from apps.registry.door import append_records
from apps.registry.errors import (
    BadSignature,
    InvalidSetting,
    InvalidSubmission,
    KeyLimit,
    NoIdentity,
    NotAllowed,
    RegistryError,
    UnknownKey,
    WrongState,
)
from apps.registry.fsck import fsck
from apps.registry.identity import ensure_identity, node_handle, node_key, public_key_of_node
from apps.registry.key_actions import KeyEnd
from apps.registry.models import ApiKey, Job, KeptKey, Record, SigningKey, Usage
from apps.registry.rebuild import rebuild
from apps.registry.submissions import Submission
from tests.registry.dumps import index_dump
from tests.registry.foreign import (
    EAST,
    Author,
    introduction,
    key_end,
    key_record,
    node_of,
    shop_of,
)
from tests.registry.making import FIRST, a_draft, a_ski, a_submission, handle, key_of, pulled, write

pytestmark = pytest.mark.django_db


class TestTheNodesOwnKey:
    def test_it_begins_the_log_and_signs_its_own_record(self) -> None:
        public = ensure_identity(key=key_of("node"))
        row = Record.objects.get()
        assert (row.log_index, row.kind, row.author, row.rank) == (
            0,
            "key",
            node_handle(),
            "node-signed",
        )
        assert row.key_id == public.key_id == node_key().key_id
        assert public.verify(bytes(row.document), row.signature).holds

    def test_a_second_time_changes_nothing(self) -> None:
        assert ensure_identity() == ensure_identity()
        assert Record.objects.count() == 1

    @pytest.mark.usefixtures("db")
    def test_without_it_nothing_is_signed(self) -> None:
        with pytest.raises(NoIdentity, match="prepare"):
            node_key()

    def test_a_kept_key_without_a_record_gets_one(self, shop: Actor) -> None:
        """So a database that a version before made, without records, goes on."""
        key = key_of("older")
        KeptKey.objects.kept_for(shop.handle).update(key_id=key.key_id, private=key.seed)
        ensure_identity()
        assert SigningKey.objects.get(key_id=key.key_id).author == shop.handle
        assert write(shop, a_draft("description"))[0].record.key == key.key_id

    def test_it_is_replaced_by_one_that_it_signs_for(self, shop: Actor) -> None:
        old = node_key()
        actions.replace_signing_key(shop=node_handle(), by=OPERATOR, key=key_of("new-node"))
        begins, ends = Record.objects.filter(log_index__gte=FIRST).order_by("log_index")
        assert (begins.kind, begins.key_id) == ("key", old.key_id)
        assert (ends.kind, ends.key_id) == ("key-end", key_of("new-node").key_id)
        assert public_key_of_node("localhost.invalid") == key_of("new-node").public
        actions.add_shop(code="tarnedge", by=OPERATOR)
        assert fsck().problems == ()

    def test_a_shop_can_not_replace_it(self, shop: Actor) -> None:
        with pytest.raises(NotAllowed):
            actions.replace_signing_key(shop=node_handle(), by=shop_actor(shop.handle, Scope.KEYS))

    def test_it_is_not_just_ended(self, shop: Actor) -> None:
        with pytest.raises(WrongState, match="replaced"):
            end(node_handle(), node_key().key_id)

    def test_no_shop_is_called_the_node(self) -> None:
        with pytest.raises(InvalidSetting, match="the node itself"):
            actions.add_shop(code="node", by=OPERATOR)


def end(shop: str, key_id: str, by: Actor = OPERATOR, reason: str = "lost") -> SigningKey:
    return actions.end_key(shop=shop, key_id=key_id, end=KeyEnd(reason), by=by)


def register(shop: str, key: PrivateKey, by: Actor = OPERATOR) -> SigningKey:
    proof = prove(key, shop)
    return actions.register_key(shop=shop, public=key.public.text, proof=proof, by=by)


class TestAShopsOwnKey:
    def test_the_operator_may_register_it_too(self, shop: Actor) -> None:
        key = register(shop.handle, key_of("own"))
        assert (key.held_by, key.ends_at) == ("shop", None)
        assert not KeptKey.objects.kept_for(shop.handle).exists()

    def test_another_shop_may_not(self, shop: Actor, other_shop: Actor) -> None:
        with pytest.raises(NotAllowed):
            register(shop.handle, key_of("own"), by=shop_actor(other_shop.handle, Scope.KEYS))

    def test_all_or_nothing(self, shop: Actor) -> None:
        before = Record.objects.count()
        with pytest.raises(BadSignature):
            actions.register_key(
                shop=shop.handle,
                public=key_of("own").public.text,
                proof=prove(key_of("own"), "else@node.example"),
                by=OPERATOR,
            )
        assert Record.objects.count() == before
        assert KeptKey.objects.kept_for(shop.handle).exists()

    def test_the_node_keeps_a_key_again(self, shop: Actor) -> None:
        register(shop.handle, key_of("own"))
        actions.replace_signing_key(shop=shop.handle, by=OPERATOR, key=key_of("again"))
        (written,) = write(shop, a_draft("description"))
        assert written.record.key == key_of("again").key_id
        assert SigningKey.objects.of_author(shop.handle).live().count() == 2

    def test_two_live_at_most(self, shop: Actor) -> None:
        register(shop.handle, key_of("one"))
        register(shop.handle, key_of("two"))
        with pytest.raises(KeyLimit, match="End one"):
            register(shop.handle, key_of("three"))

    def test_an_unknown_one_does_not_end(self, shop: Actor) -> None:
        with pytest.raises(UnknownKey):
            end(shop.handle, key_of("nobody").key_id)

    def test_the_index_is_made_again_from_the_records(self, shop: Actor) -> None:
        register(shop.handle, key_of("own"))
        end(shop.handle, key_of("own").key_id)
        before = index_dump()
        rebuild(by=OPERATOR)
        assert index_dump() == before
        assert fsck().problems == ()


class TestScopes:
    def test_a_peers_key_is_the_nodes_and_reads_the_feed_only(self, shop: Actor) -> None:
        actions.issue_api_key(shop=node_handle(), scopes=[Scope.FEED], by=OPERATOR)
        assert ApiKey.objects.get().scopes == "feed"

    @pytest.mark.parametrize("scopes", [[Scope.READ], [Scope.READ, Scope.FEED]])
    def test_and_nothing_else(self, shop: Actor, scopes: list[Scope]) -> None:
        with pytest.raises(InvalidSetting, match="for peers"):
            actions.issue_api_key(shop=node_handle(), scopes=scopes, by=OPERATOR)

    def test_a_shop_gets_no_feed(self, shop: Actor) -> None:
        with pytest.raises(InvalidSetting, match="for peers"):
            actions.issue_api_key(shop=shop.handle, scopes=[Scope.FEED], by=OPERATOR)

    def test_thirty_two_peers(self, shop: Actor) -> None:
        for _ in range(actions.LIVE_PEER_KEYS):
            actions.issue_api_key(shop=node_handle(), scopes=[Scope.FEED], by=OPERATOR)
        with pytest.raises(KeyLimit, match="32"):
            actions.issue_api_key(shop=node_handle(), scopes=[Scope.FEED], by=OPERATOR)

    def test_a_shop_passes_on_only_what_it_came_with(self, shop: Actor) -> None:
        actions.issue_api_key(shop=shop.handle, scopes=[Scope.READ], by=shop)
        with pytest.raises(NotAllowed, match="`keys`"):
            actions.issue_api_key(shop=shop.handle, scopes=[Scope.KEYS], by=shop)


class TestWhoWritesAsTheNode:
    def test_the_node_writes_under_its_own_name_only(self, shop: Actor) -> None:
        with pytest.raises(NotAllowed, match="may not write as"):
            append_records(submissions=[a_submission(a_draft("description"))], by=NODE)

    def test_a_shop_does_not_write_as_the_node(self, shop: Actor) -> None:
        ended = key_end(local_node(), Author(shop.handle, key_of("fellbench")))
        with pytest.raises(NotAllowed):
            append_records(submissions=[ended], by=shop)


def local_node() -> Author:
    return Author(handle("node"), key_of("node"))


def refused(*submissions: Any) -> RegistryError:
    before = Record.objects.count()
    with pytest.raises(RegistryError) as caught:
        pulled(*submissions, peer=EAST)
    assert Record.objects.count() == before
    return caught.value


@pytest.mark.usefixtures("shop")
class TestKeysOfAnotherNode:
    def test_its_first_word_is_its_own_key(self) -> None:
        bench = shop_of(EAST)
        pulled(*introduction(EAST, bench), peer=EAST)
        assert public_key_of_node(EAST) == node_of(EAST).key.public
        assert SigningKey.objects.get(author=bench.handle).held_by == "shop"

    def test_before_that_nothing_is_believed(self) -> None:
        error = refused(key_record(node_of(EAST), shop_of(EAST)))
        assert isinstance(error, BadSignature)
        assert "not known here" in error.sentence

    def test_a_second_first_word_is_refused(self) -> None:
        """Whoever says later that he is that node must sign with a key of that node."""
        pulled(*introduction(EAST), peer=EAST)
        false = Author(node_of(EAST).handle, key_of("false"))
        error = refused(key_record(false, false, held_by="node"))
        assert isinstance(error, BadSignature)
        assert "signs a new one with that" in error.sentence
        second = Author(node_of(EAST).handle, key_of("second"))
        pulled(key_record(node_of(EAST), second, held_by="node"), peer=EAST)
        assert public_key_of_node(EAST) == key_of("second").public

    def test_a_node_ends_no_key_of_another_node(self, shop: Actor) -> None:
        mine = Author(shop.handle, key_of("fellbench"))
        pulled(*introduction(EAST), peer=EAST)
        error = refused(key_end(node_of(EAST), mine))
        assert isinstance(error, InvalidSubmission)
        assert "speaks for its own shops" in error.sentence

    def test_nobody_brings_what_a_shop_of_this_node_is_to_have_written(self, shop: Actor) -> None:
        """Not even with its stolen key: this node takes its shops' records from them only."""
        mine = Author(shop.handle, key_of("fellbench"))
        error = refused(mine.signed("description"))
        assert isinstance(error, NotAllowed)
        assert "where that record is not" in error.sentence

    def test_nor_an_end_of_its_keys(self, shop: Actor) -> None:
        mine = Author(shop.handle, key_of("fellbench"))
        assert isinstance(refused(key_end(local_node(), mine)), NotAllowed)
        assert SigningKey.objects.get(author=shop.handle).ends_at is None

    def test_what_is_here_already_may_come_back(self, shop: Actor) -> None:
        ski = a_ski(shop)
        row = Record.objects.get(id=ski.record_id)
        (again,) = pulled(Submission(bytes(row.document), row.signature), peer=EAST)
        assert (again.is_new, again.log_index) == (False, ski.log_index)


class TestAStolenKey:
    """What it signs after its end is refused, whatever date it bears; what came before stands."""

    def test_the_order_in_the_log_of_its_node_decides(self, east: Author) -> None:
        before = east.signed("description")
        ended = key_end(node_of(EAST), east)
        late = east.signed("usage", performed_at="2020-01-01")
        pulled(before, ended, peer=EAST)
        error = refused(late)
        assert isinstance(error, BadSignature)
        assert "not valid at place" in error.sentence
        assert Record.objects.of_kind("description").count() == 1

    def test_within_one_page_too(self, east: Author) -> None:
        error = refused(key_end(node_of(EAST), east), east.signed("description"))
        assert isinstance(error, BadSignature)
        assert error.submission == 1

    def test_it_ends_once(self, east: Author) -> None:
        pulled(key_end(node_of(EAST), east), peer=EAST)
        again = key_end(node_of(EAST), east, reason="lost")
        assert isinstance(refused(again), WrongState)

    def test_and_never_begins_again(self, east: Author) -> None:
        pulled(key_end(node_of(EAST), east), peer=EAST)
        assert isinstance(refused(key_record(node_of(EAST), east)), WrongState)

    def test_only_a_key_of_that_shop_ends(self, east: Author) -> None:
        other = shop_of(EAST, "other")
        assert isinstance(refused(key_end(node_of(EAST), other)), UnknownKey)
        theirs = key_end(node_of(EAST), east, shop=other.handle)
        assert isinstance(refused(theirs), UnknownKey)

    def test_the_shop_takes_back_what_the_thief_wrote_before(self, east: Author) -> None:
        new = Author(east.handle, key_of("new"))
        (_, thief) = pulled(east.signed("description"), east.signed("usage"), peer=EAST)
        pulled(
            key_record(node_of(EAST), new),
            key_end(node_of(EAST), east),
            new.signed("retraction", refers_to=[thief.record_id]),
            peer=EAST,
        )
        assert days() == []
        assert fsck().problems == ()


class TestWhatComesBeforeWhatItNeeds:
    """Nodes are pulled in any order, so a record may come before the one that it rests on."""

    def test_a_record_waits_for_its_tag(self, east: Author) -> None:
        west = shop_of("west.example")
        pulled(*introduction("west.example", west), peer="west.example")
        early = east.signed("job", shop=west.handle, tag="W-1")
        pulled(early, peer=EAST)
        pulled(west.signed("description", tag="W-1"), peer="west.example")
        assert job_rows() == 1
        assert fsck().problems == ()

    def test_a_correction_waits_for_its_record(self, east: Author) -> None:
        usage = east.signed("usage")
        replacement = {"kind": "usage", "performed_at": "2025-01-31", "body": {"days": 9}}
        body = {"reason": "typing_error", "replacement": replacement}
        late = east.signed("correction", refers_to=[record_id(usage.data)], body=body)
        pulled(east.signed("description"), late, usage, peer=EAST)
        assert days() == [9]
        assert fsck().problems == ()

    def test_one_of_another_author_has_no_effect(self, east: Author) -> None:
        west = shop_of("west.example")
        pulled(*introduction("west.example", west), peer="west.example")
        usage = east.signed("usage")
        foreign = west.signed("retraction", shop=east.handle, refers_to=[record_id(usage.data)])
        pulled(foreign, peer="west.example")
        pulled(east.signed("description"), usage, peer=EAST)
        assert days() == [12]


def job_rows() -> int:
    return Job._default_manager.count()


def days() -> list[int]:
    return list(Usage._default_manager.values_list("days", flat=True))
