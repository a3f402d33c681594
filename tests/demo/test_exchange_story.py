"""The chapter of the two nodes says what both of them answer, at the moment it says so."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import pytest

from apps.records.bundle import verify_bundle
from service_registry.demo.asking import Request
from service_registry.demo.exchange_story import REMARK, TAG
from service_registry.demo.surroundings import BUNDLE, CHANGED_BUNDLE, SECOND_HOST
from service_registry.demo.two_nodes import Side
from service_registry.environment import TRIAL_NODE_HOST
from tests.demo.two_nodes_told import Told, told

FIRST, SECOND = TRIAL_NODE_HOST, SECOND_HOST
REGISTERED, ONE_SIDED, MUTUAL, DOUBTED, ERASED, BUNDLED, APART = 9, 10, 11, 12, 13, 14, 15
PULLS = 7


@pytest.fixture(scope="module")
def chapter(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Told]:
    with told(tmp_path_factory.mktemp("nodes")) as found:
        yield found


def test_each_curl_line_answers_and_changes_nothing_more(chapter: Told) -> None:
    sizes = [size_of(side) for side in (chapter.nodes.first, chapter.nodes.second)]
    for step in chapter.steps:
        assert isinstance(step.line.answer(), dict)
    assert [size_of(side) for side in (chapter.nodes.first, chapter.nodes.second)] == sizes


def size_of(side: Side) -> int:
    """The rows of a node's log, as its checkpoint says."""
    status, data = side.wire.carry(Request("GET", "/log/checkpoint", {}))
    assert status == 200
    return int(data.splitlines()[1])


def test_the_parts_are_told_in_their_order_and_fit_on_the_screen(chapter: Told) -> None:
    titles = [line.split()[0] for last, line in pairwise(chapter.lines) if not last]
    assert titles == [str(number) for number in range(8, APART + 1)]
    assert all(len(line) <= 98 for line in chapter.lines if not is_command(line))


def test_each_node_follows_the_other(chapter: Told) -> None:
    for one, other in ((FIRST, SECOND), (SECOND, FIRST)):
        said = [line for line in chapter.lines if f"{one} says of {other}: following, " in line]
        assert len(said) == 1
        assert said[0].endswith(" rows, 0 refused")
    pulled = [line for line in chapter.lines if " since the last pull; " in line]
    assert len(pulled) == PULLS


def is_command(line: str) -> bool:
    return line.startswith(("  curl ", "  service-registry "))


def test_the_shop_beyond_signs_its_own_records(chapter: Told) -> None:
    step = chapter.step(REGISTERED)
    assert step.answer["rank"] == "shop-signed"
    assert step.answer["record"]["kind"] == "same-ski"
    assert "same-ski: shop-signed" in step.text
    page = chapter.step(MUTUAL).histories[FIRST, TAG, "mutual"]
    ranks = [item["rank"] for item in page["items"]]
    for rank in ("shop-signed", "node-attested"):
        assert f"{ranks.count(rank)} {rank}" in chapter.step(MUTUAL).text


def test_one_word_joins_only_for_those_who_ask_for_it(chapter: Told) -> None:
    step = chapter.step(ONE_SIDED)
    alone, joined = (step.ids(FIRST, chapter.hero, links) for links in ("mutual", "all"))
    assert len(alone) < len(joined)
    assert f"links=mutual: {len(alone)} records, under {chapter.hero}" in step.text
    assert f"links=all: {len(joined)} records, under {TAG} and {chapter.hero}" in step.text
    assert standings(chapter, ONE_SIDED) == ["one-sided"]
    assert "the same ski: one-sided" in step.text


def standings(chapter: Told, number: int) -> list[str]:
    page = chapter.step(number).histories[FIRST, chapter.hero, "mutual"]
    return [one["standing"] for one in page["joined"]["statements"]]


def test_both_words_join_on_both_nodes(chapter: Told) -> None:
    step = chapter.step(MUTUAL)
    joined = step.ids(FIRST, chapter.hero)
    before = chapter.step(ONE_SIDED)
    fleets_link = set(joined) - set(before.ids(FIRST, chapter.hero, "all"))
    assert len(fleets_link) == 1
    for host in (FIRST, SECOND):
        for tag in (chapter.hero, TAG):
            assert set(step.ids(host, tag)) == set(joined)
    assert standings(chapter, MUTUAL) == ["mutual", "mutual"]
    assert f"{chapter.hero} on {FIRST}: {len(joined)} records" in step.text
    assert f"{TAG} on {SECOND}: {len(joined)} records" in step.text


def test_what_does_not_agree_is_flagged_while_they_are_joined(chapter: Told) -> None:
    step = chapter.step(MUTUAL)
    warnings = step.answer["warnings"]
    assert "steel-grew" in {one["code"] for one in warnings}
    for one in warnings:
        assert f"{one['code']} ({one['sureness']}): {one['sentence']}" in step.text


def test_the_dispute_and_the_correction_cross_the_pass(chapter: Told) -> None:
    step = chapter.step(DOUBTED)
    assert step.answer["record"]["kind"] == "correction"
    (use,) = step.answer["record"]["refers_to"]
    corrected = step.item(FIRST, use)
    assert corrected["state"] == "corrected"
    was, now = corrected["record"]["body"]["days"], corrected["effective"]["body"]["days"]
    assert f"{was} days out are corrected to {now}, shop-signed" in step.text
    page = step.histories[SECOND, TAG, "mutual"]
    (disputed,) = (item for item in page["items"] if item.get("disputes"))
    assert disputed["flags"] == ["disputed"]
    assert disputed["state"] == "stands"
    assert f"the reading of {disputed['record']['body']['value']} mm is flagged" in step.text


def test_the_remark_goes_on_both_nodes(chapter: Told) -> None:
    before, step = chapter.step(DOUBTED), chapter.step(ERASED)
    assert REMARK in str(before.histories[FIRST, TAG, "mutual"])
    assert REMARK in step.text
    (job,) = step.answer["record"]["refers_to"]
    assert step.answer["record"]["kind"] == "erasure"
    for host in (FIRST, SECOND):
        assert step.item(host, job)["state"] == "erased"
        assert f"on {host}: erased" in step.text
    assert all(REMARK not in str(page) for page in step.histories.values())


def test_the_bundle_holds_and_one_byte_breaks_it(chapter: Told) -> None:
    step = chapter.step(BUNDLED)
    first = chapter.nodes.first
    good, bad = ((first.folder / name).read_bytes() for name in (BUNDLE, CHANGED_BUNDLE))
    assert step.line.file == str(first.folder / BUNDLE)
    assert [a == b for a, b in zip(good, bad, strict=True)].count(False) == 1
    for data, holds in ((good, True), (bad, False)):
        report = verify_bundle(data, first.vkey)
        assert report.holds is holds
        assert all(line in step.text for line in report.lines if first.vkey not in line)
    assert step.answer["bundle"]["tags"] == [
        {"shop": f"kelderby-bench@{SECOND}", "tag": TAG},
        {"shop": f"veskerdal-hire@{FIRST}", "tag": chapter.hero},
    ]


def test_unlinked_they_are_apart_and_nothing_is_lost(chapter: Told) -> None:
    joined, step = chapter.step(ERASED), chapter.step(APART)
    for host in (FIRST, SECOND):
        hero, other = (step.ids(host, tag, "all") for tag in (chapter.hero, TAG))
        assert not set(hero) & set(other)
        assert set(hero) | set(other) == set(joined.ids(host, TAG))
        for tag, ids in ((chapter.hero, hero), (TAG, other)):
            assert f"{tag} on {host}: {len(ids)} records, 1 of them retracted" in step.text
    assert set(chapter.step(ONE_SIDED).ids(FIRST, chapter.hero)) < set(
        step.ids(FIRST, chapter.hero)
    )
    assert standings(chapter, APART) == []
    assert step.answer["warnings"] == []
    assert "nothing in it contradicts itself." in step.text


def test_both_nodes_are_sound_and_have_the_same_records(chapter: Told) -> None:
    text = chapter.step(APART).text
    first, second = chapter.nodes.first.process, chapter.nodes.second.process
    for side in (chapter.nodes.first, chapter.nodes.second):
        assert f"fsck on {side.host}: {side.process.run('fsck').strip()}" in text
    assert first.run("fsck") == second.run("fsck")
