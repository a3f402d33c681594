"""Links of tags in the API: who may write them, what they join, and how an answer says so."""

from __future__ import annotations

from typing import Any

import pytest
from pytest_django import DjangoAssertNumQueries

from apps.api.plan_request import EXAMPLE
from apps.registry.actors import OPERATOR
from apps.registry.erasing import erase_record
from apps.registry.models import LookUp
from tests.api.client import Answered, ApiClient
from tests.api.making import DAY, a_client, draft, register, write

MINE, THEIRS = ("fellbench", "FB-0042"), ("tarnedge", "TE-7")
SAID = {"other_ski": {"shop": "tarnedge", "tag": "TE-7"}, "evidence": ["markings"]}
VIEWS = ("", "/history", "/condition", "/wear", "/pair")


def ski_of(named: tuple[str, str]) -> dict[str, str]:
    shop, tag = named
    return {"shop": shop, "tag": tag}


def link(
    client: ApiClient,
    one: tuple[str, str] = MINE,
    other: tuple[str, str] = THEIRS,
    kind: str = "same-ski",
    **members: Any,
) -> Answered:
    """Say something of two tags."""
    body = {"other_ski": ski_of(other), "evidence": ["markings"]}
    return client.post("links", {"kind": kind, "ski": ski_of(one), "body": body, **members})


def tags(answer: Answered) -> list[str]:
    """The tags that an answer joined."""
    return [ski["tag"] for ski in answer.json["joined"]["tags"]]


def standings(answer: Answered) -> list[tuple[str, str]]:
    """Who says what, by how it stands."""
    said = answer.json["joined"]["statements"]
    return sorted((one["author"].partition("@")[0], one["standing"]) for one in said)


@pytest.fixture(autouse=True)
def both(ski: str, other: ApiClient) -> str:
    """The ski of fellbench, and one of tarnedge; gives the address of the latter."""
    return register(other, "TE-7")


class TestJoining:
    def test_one_side_alone_joins_on_request_only(self, client: ApiClient, ski: str) -> None:
        answer = link(client)
        assert answer.status == 201
        assert (tags(answer), standings(answer)) == (["FB-0042"], [("fellbench", "one-sided")])
        assert tags(client.get(ski)) == ["FB-0042"]
        assert tags(client.get(f"{ski}?links=all")) == ["FB-0042", "TE-7"]
        assert tags(client.get(f"{ski}?links=none")) == ["FB-0042"]

    def test_both_sides_join_for_everyone(
        self, client: ApiClient, other: ApiClient, ski: str, both: str
    ) -> None:
        link(client)
        answer = link(other, THEIRS, MINE)
        assert standings(answer) == [("fellbench", "mutual"), ("tarnedge", "mutual")]
        for address, by in ((ski, client), (both, other)):
            seen = by.get(address)
            assert tags(seen) == ["FB-0042", "TE-7"]
            assert [one["tag"] for one in seen.json["tags"]] == ["FB-0042", "TE-7"]

    def test_histories_are_joined_when_read(
        self, client: ApiClient, other: ApiClient, ski: str, both: str
    ) -> None:
        here = write(client, "usage", draft("usage")).json["id"]
        there = write(other, "usage", draft("usage", shop="tarnedge", tag="TE-7")).json["id"]
        mine = link(client).json["id"]
        link(other, THEIRS, MINE)
        found = {item["id"] for item in client.get(f"{ski}/history").json["items"]}
        assert {here, there} < found
        assert client.get(f"{ski}/condition").json["use"]["total_days"] == 24
        assert other.get(f"{both}/condition?links=none").json["use"]["total_days"] == 12
        raw = client.get(f"{ski}/history?raw=true").json["items"]
        assert {here, there} < {item["id"] for item in raw}
        client.post(f"records/{mine}/retraction", {"body": {"reason": "wrong_ski"}})
        assert client.get(f"{ski}/condition").json["use"]["total_days"] == 12

    def test_like_skis_are_found_from_either_tag(
        self, client: ApiClient, other: ApiClient, ski: str, both: str
    ) -> None:
        link(client)
        link(other, THEIRS, MINE)
        assert client.get(f"{ski}/like").status == other.get(f"{both}/like").status == 200

    def test_a_doubt_is_shown_and_parts_them(
        self, client: ApiClient, other: ApiClient, ski: str
    ) -> None:
        link(client)
        link(other, THEIRS, MINE)
        link(other, THEIRS, MINE, "distinct-ski")
        joined = client.get(ski).json["joined"]
        assert (joined["contested"], joined["too_many"]) == (True, False)
        assert [one["tag"] for one in joined["apart"]] == ["TE-7"]
        (row,) = client.get("fleet").json["items"]
        assert (row["tags"], row["apart"]) == (1, "contested")

    def test_every_answer_names_the_links(self, client: ApiClient, ski: str) -> None:
        register(client, "FB-0043")
        write(client, "pairs", draft("pair", body={"other_ski": ski_of(("fellbench", "FB-0043"))}))
        for links in ("mutual", "all", "none"):
            for view in VIEWS:
                assert client.get(f"{ski}{view}?links={links}").json["joined"]["links"] == links
            planned = client.post(f"{ski}/plan?links={links}", EXAMPLE)
            assert planned.json["joined"]["links"] == links, planned.content

    @pytest.mark.parametrize("view", VIEWS)
    def test_other_words_are_refused(self, client: ApiClient, ski: str, view: str) -> None:
        answer = client.get(f"{ski}{view}?links=some")
        assert (answer.status, answer.pointers) == (400, ["links"])

    def test_a_look_at_what_is_joined_is_noted(
        self, client: ApiClient, other: ApiClient, ski: str
    ) -> None:
        theirs = write(other, "usage", draft("usage", shop="tarnedge", tag="TE-7")).json["id"]
        assert client.get(f"records/{theirs}").status == 404
        link(client)
        client.get(f"{ski}?links=all")
        assert LookUp.objects.filter(shop=client.handle, tag_key__endswith="TE-7").count() == 1
        assert client.get(f"records/{theirs}").status == 200

    def test_as_many_queries_for_many_links_as_for_two(
        self,
        client: ApiClient,
        other: ApiClient,
        ski: str,
        django_assert_num_queries: DjangoAssertNumQueries,
    ) -> None:
        link(other, THEIRS, MINE)
        for times in (1, 7):
            for _ in range(times):
                link(client)
            client.get(ski)
            # Key, tag, links, joined tags, the look at the other shop's, records, pairs.
            with django_assert_num_queries(7):
                client.get(ski)


class TestPages:
    def test_a_link_between_two_pages_is_said(
        self, client: ApiClient, other: ApiClient, ski: str
    ) -> None:
        for _ in range(3):
            write(client, "usage", draft("usage"))
        link(other, THEIRS, MINE)
        following = client.get(f"{ski}/history?limit=2").json["next"]
        assert client.get(following).status == 200
        link(client)
        answer = client.get(following)
        assert (answer.status, answer.slug) == (409, "joined-otherwise")

    def test_a_record_between_two_pages_changes_nothing(self, client: ApiClient, ski: str) -> None:
        for _ in range(3):
            write(client, "usage", draft("usage"))
        following = client.get(f"{ski}/history?limit=2").json["next"]
        before = client.get(following).json["items"]
        write(client, "usage", draft("usage"))
        assert client.get(following).json["items"] == before


class TestWriting:
    def test_they_are_listed_and_read_by_id(self, client: ApiClient, other: ApiClient) -> None:
        first = link(client)
        second = link(client, kind="distinct-ski", performed_at=DAY)
        link(other, THEIRS, MINE)
        listed = client.get("links?limit=1")
        assert [one["id"] for one in listed.json["items"]] == [first.json["id"]]
        rest = client.get(listed.json["next"]).json
        assert [one["id"] for one in rest["items"]] == [second.json["id"]]
        assert "next" not in rest
        shown = client.get(first.headers["Location"])
        assert shown.json["record"]["kind"] == "same-ski"

    def test_another_kind_is_not_found_there(self, client: ApiClient, ski: str) -> None:
        usage = write(client, "usage", draft("usage")).json["id"]
        assert client.get(f"links/{usage}").slug == "unknown-record"

    def test_a_shop_of_neither_tag(self, both: str) -> None:
        answer = link(a_client("third"))
        assert (answer.status, answer.pointers) == (403, ["/ski/shop"])

    @pytest.mark.parametrize(
        ("members", "pointer"),
        [
            ({"kind": "pair"}, "/kind"),
            ({"kind": None}, "/kind"),
            ({"body": {"other_ski": ski_of(MINE), "evidence": ["markings"]}}, "/body/other_ski"),
            ({"body": {"other_ski": ski_of(THEIRS), "evidence": []}}, "/body/evidence"),
            ({"body": {"other_ski": ski_of(THEIRS), "evidence": ["hearsay"]}}, "/body/evidence/0"),
            ({"body": SAID, "author": "tarnedge"}, "/author"),
            ({"body": SAID, "note": "x"}, "/note"),
        ],
    )
    def test_what_needs_mending(
        self, client: ApiClient, members: dict[str, Any], pointer: str
    ) -> None:
        given = {"kind": "same-ski", "ski": ski_of(MINE), "body": {}, **members}
        answer = client.post("links", given)
        assert answer.status in (400, 403)
        assert pointer in answer.pointers

    def test_it_is_not_corrected(self, client: ApiClient) -> None:
        record = link(client).json["id"]
        whole = {"kind": "usage", "performed_at": DAY, "body": {"days": 1}}
        body = {"reason": "typing_error", "replacement": whole}
        answer = client.post(f"records/{record}/correction", {"body": body})
        assert (answer.status, answer.slug) == (422, "wrong-state")

    def test_a_repeat_has_one_effect(self, client: ApiClient) -> None:
        first = link(client)
        key = {"Idempotency_Key": "k-1"}
        body = {"other_ski": ski_of(THEIRS), "evidence": ["markings"]}
        document = {"kind": "same-ski", "ski": ski_of(MINE), "body": body}
        answers = [client.post("links", document, **key) for _ in range(2)]
        assert answers[0].json == answers[1].json
        assert len(client.get("links").json["items"]) == 2
        assert first.json["id"] != answers[0].json["id"]


class TestRetag:
    def test_the_history_stands_under_both(self, client: ApiClient, ski: str) -> None:
        usage = write(client, "usage", draft("usage")).json["id"]
        answer = client.post(f"{ski}/retag", {"tag": "fb-0107"})
        assert answer.status == 201, answer.content
        assert tags(answer) == ["FB-0042", "FB-0107"]
        assert answer.json["link"]["record"]["body"]["evidence"] == ["label_lost"]
        found = client.get(f"{answer.headers['Location']}/history").json["items"]
        assert usage in [item["id"] for item in found]
        described = client.get(answer.headers["Location"]).json["description"]
        assert described["length_mm"] == 1710

    def test_it_stays_one_ski_of_the_fleet(self, client: ApiClient, ski: str) -> None:
        client.post(f"{ski}/retag", {"tag": "FB-0107"})
        (row,) = client.get("fleet").json["items"]
        assert (row["tag"], row["tags"]) == ("FB-0042", 2)
        assert "apart" not in row

    @pytest.mark.parametrize("taken", ["FB-0042", "FB-0043", "FB-0107"])
    def test_a_tag_is_never_used_again(self, client: ApiClient, ski: str, taken: str) -> None:
        register(client, "FB-0043")
        client.post(f"{ski}/retag", {"tag": "FB-0107"})
        if taken != "FB-0042":
            answer = client.post(f"{ski}/retag", {"tag": taken})
            assert (answer.status, answer.slug, answer.pointers) == (409, "tag-exists", ["/tag"])
        assert client.post("skis", {"ski": {"tag": taken}}).slug == "tag-exists"

    def test_neither_or_both(self, client: ApiClient, ski: str) -> None:
        answer = client.post(f"{ski}/retag", {"tag": "FB-0107", "performed_at": "2099-01-01"})
        assert answer.status == 422
        assert client.get("skis/fellbench/FB-0107").status == 404
        assert client.get("links").json["items"] == []

    def test_another_shop_may_not(self, client: ApiClient, both: str) -> None:
        assert client.post(f"{both}/retag", {"tag": "TE-8"}).status == 403

    def test_an_unknown_ski(self, client: ApiClient) -> None:
        answer = client.post("skis/fellbench/NOPE/retag", {"tag": "FB-8"})
        assert (answer.status, answer.slug) == (404, "unknown-ski")

    @pytest.mark.parametrize(
        ("document", "pointer"),
        [
            ({}, "/tag"),
            ({"tag": "FB 8"}, "/tag"),
            ({"tag": "FB-0042"}, "/tag"),
            ({"tag": "FB-8", "evidence": ["hearsay"]}, "/evidence/0"),
            ({"tag": "FB-8", "performed_at": "soon"}, "/performed_at"),
            ({"tag": "FB-8", "shop": "fellbench"}, "/shop"),
        ],
    )
    def test_what_needs_mending(
        self, client: ApiClient, ski: str, document: dict[str, Any], pointer: str
    ) -> None:
        answer = client.post(f"{ski}/retag", document)
        assert (answer.status, answer.pointers) == (400, [pointer])

    def test_a_ninth_tag_is_refused(self, client: ApiClient, ski: str) -> None:
        for number in range(7):
            assert client.post(f"{ski}/retag", {"tag": f"FB-9{number}"}).status == 201
        answer = client.post(f"{ski}/retag", {"tag": "FB-97"})
        assert (answer.status, answer.pointers) == (422, ["/tag"])


def test_what_waits_for_its_target_is_shown_as_pending(client: ApiClient, ski: str) -> None:
    usage = write(client, "usage", draft("usage")).json["id"]
    correction = {"kind": "usage", "performed_at": DAY, "body": {"days": 1}}
    body = {"reason": "typing_error", "replacement": correction}
    waiting = client.post(f"records/{usage}/correction", {"body": body}).json["id"]
    erase_record(record_id=usage, reason="author_asked", by=OPERATOR)
    assert shown(client, ski, waiting)["state"] == "pending"
    assert shown(client, ski, usage)["state"] == "erased"


class TestDisputes:
    def test_any_shop_that_can_read_may_doubt(
        self, client: ApiClient, other: ApiClient, ski: str
    ) -> None:
        usage = write(client, "usage", draft("usage")).json["id"]
        document = {"body": {"reason": "wrong_value", "remarks": "Hardly used."}}
        assert other.post(f"records/{usage}/dispute", document).slug == "unknown-record"
        other.get(ski)
        dispute = other.post(f"records/{usage}/dispute", document)
        assert dispute.status == 201, dispute.content
        item = shown(client, ski, usage)
        assert (item["state"], item["flags"]) == ("stands", ["disputed"])
        assert [one["id"] for one in item["disputes"]] == [dispute.json["id"]]
        assert client.get(f"{ski}/condition").json["use"]["total_days"] == 12

    def test_who_doubted_takes_it_back(self, client: ApiClient, other: ApiClient, ski: str) -> None:
        usage = write(client, "usage", draft("usage")).json["id"]
        other.get(ski)
        dispute = other.post(f"records/{usage}/dispute", {"body": {"reason": "wrong_date"}})
        back = {"body": {"reason": "duplicate"}}
        address = f"records/{dispute.json['id']}/retraction"
        assert client.post(address, back).status == 403
        assert other.post(address, back).status == 201
        item = shown(client, ski, usage)
        assert "flags" not in item
        assert len(item["disputes"]) == len(item["retractions"]) == 1

    def test_a_doubt_is_not_doubted(self, client: ApiClient, ski: str) -> None:
        usage = write(client, "usage", draft("usage")).json["id"]
        dispute = client.post(f"records/{usage}/dispute", {"body": {"reason": "wrong_date"}})
        again = {"body": {"reason": "wrong_date"}}
        answer = client.post(f"records/{dispute.json['id']}/dispute", again)
        assert (answer.status, answer.slug) == (422, "wrong-state")


def shown(client: ApiClient, ski: str, record: str) -> dict[str, Any]:
    """The item of a record in a history."""
    items = client.get(f"{ski}/history").json["items"]
    (found,) = (item for item in items if item["id"] == record)
    return dict(found)
