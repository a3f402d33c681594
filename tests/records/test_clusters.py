"""Which tags are on one ski: each rule by example, then laws against SciPy's components."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from apps.records.clusters import (
    CAP,
    Clusters,
    Joined,
    Links,
    Says,
    Standing,
    Statement,
    clusters,
    tag_shop,
)

A, B, C = "a@one.example", "b@one.example", "c@two.example"
A1, A2, A3, B1, B2, C1 = f"{A}/1", f"{A}/2", f"{A}/3", f"{B}/1", f"{B}/2", f"{C}/1"
MODES: tuple[Links, ...] = ("mutual", "all", "none")


def said(author: str, says: Says, one: str, other: str, number: int = 0) -> Statement:
    return Statement(f"{author}:{says}:{one}:{other}:{number}", author, says, one, other)


def same(author: str, one: str, other: str) -> Statement:
    return said(author, "same", one, other)


def distinct(author: str, one: str, other: str) -> Statement:
    return said(author, "distinct", one, other)


def both(one: str, other: str) -> list[Statement]:
    """Each of the two shops says that the tags are on one ski."""
    return [same(tag_shop(one), one, other), same(tag_shop(other), other, one)]


def standings(joined: Joined) -> dict[str, str]:
    return {one.statement.record: str(one.standing) for one in joined.statements}


def test_a_tag_that_nobody_links_is_alone() -> None:
    for found in (clusters([A1], []), clusters([], [])):
        assert found.of(A1) == Joined((A1,), "mutual", (), False, False, ())
    assert clusters([A1, B1], []).groups == ((A1,), (B1,))


def test_both_shops_words_join_and_one_shops_word_does_not() -> None:
    one_sided = clusters([A1, B1], [same(A, A1, B1)])
    assert one_sided.of(A1).tags == (A1,)
    assert set(standings(one_sided.of(A1)).values()) == {"one-sided"}
    mutual = clusters([A1, B1], both(A1, B1))
    assert mutual.of(A1).tags == mutual.of(B1).tags == (A1, B1)
    assert mutual.groups == ((A1, B1),)
    assert set(standings(mutual.of(B1)).values()) == {"mutual"}


def test_one_shops_word_joins_when_all_links_are_asked_for() -> None:
    found = clusters([A1, B1], [same(A, A1, B1)], "all")
    assert (found.of(B1).tags, found.of(B1).links) == ((A1, B1), "all")


def test_nothing_joins_when_no_links_are_asked_for() -> None:
    found = clusters([A1, B1], [*both(A1, B1), distinct(A, A1, B1)], "none")
    assert found.groups == ((A1,), (B1,))
    alone = found.of(A1)
    assert (alone.links, alone.contested, alone.apart) == ("none", False, ())
    assert len(alone.statements) == 3


def test_a_shop_links_two_tags_of_its_own_alone() -> None:
    found = clusters([A1, A2], [same(A, A1, A2)])
    assert found.groups == ((A1, A2),)
    assert set(standings(found.of(A1)).values()) == {"mutual"}


@pytest.mark.parametrize("links", MODES)
def test_a_third_shops_word_counts_for_nothing(links: Links) -> None:
    meddling = [same(C, A1, B1), distinct(C, A1, A2)]
    found = clusters([A1, A2, B1], [same(A, A1, A2), *meddling], links)
    assert found.groups == clusters([A1, A2, B1], [same(A, A1, A2)], links).groups
    assert [standings(found.of(A1))[one.record] for one in meddling] == ["foreign", "foreign"]


def test_links_are_followed_from_tag_to_tag() -> None:
    found = clusters([A1, A2, B1, C1], [same(A, A1, A2), *both(A2, B1), same(C, B1, C1)])
    assert found.groups == ((A1, A2, B1), (C1,))
    wide = clusters([], [same(A, A1, A2), *both(A2, B1), same(C, B1, C1)], "all")
    assert wide.groups == ((A1, A2, B1, C1),)


def test_a_link_may_go_over_a_tag_that_is_not_here() -> None:
    assert clusters([A1, C1], [*both(A1, B1), *both(B1, C1)]).of(A1).tags == (A1, B1, C1)


@pytest.mark.parametrize("doubter", [A, B])
def test_one_shops_doubt_sets_the_whole_component_apart(doubter: str) -> None:
    said_so = [*both(A1, B1), same(A, A1, A2)]
    found = clusters([A1, A2, B1], [*said_so, distinct(doubter, A1, B1)])
    assert found.groups == ((A1,), (A2,), (B1,))
    joined = found.of(A2)
    assert (joined.tags, joined.apart) == ((A2,), (A1, B1))
    assert (joined.contested, joined.too_many) == (True, False)
    assert len(joined.statements) == 4


def test_a_doubt_between_tags_that_only_hang_together_over_a_third_counts() -> None:
    found = clusters([], [*both(A1, B1), *both(B1, C1), distinct(C, A1, C1)])
    assert found.of(B1).contested
    assert found.of(B1).tags == (B1,)


def test_a_doubt_between_tags_that_are_not_joined_is_shown_and_changes_nothing() -> None:
    found = clusters([], [*both(A1, B1), distinct(A, A1, C1)])
    assert found.groups == ((A1, B1), (C1,))
    assert not found.of(A1).contested
    assert standings(found.of(C1)) == {distinct(A, A1, C1).record: "one-sided"}


def test_a_doubt_of_both_shops_is_mutual() -> None:
    found = clusters([], [distinct(A, A1, B1), distinct(B, B1, A1)])
    assert {one.standing for one in found.of(A1).statements} == {Standing.MUTUAL}


def chain(count: int) -> list[Statement]:
    """One shop's labels, each the next of the one before."""
    names = [f"{A}/{number:02}" for number in range(count)]
    return [same(A, one, other) for one, other in pairwise(names)]


def test_eight_tags_are_joined_and_nine_are_shown_apart() -> None:
    full = clusters([], chain(CAP)).of(f"{A}/00")
    assert (CAP, len(full.tags), full.too_many) == (8, 8, False)
    over = clusters([], chain(CAP + 1))
    joined = over.of(f"{A}/00")
    assert (joined.tags, joined.too_many, joined.contested) == ((f"{A}/00",), True, False)
    assert joined.apart == tuple(f"{A}/{number:02}" for number in range(1, 9))
    assert len(over.groups) == CAP + 1


def test_too_many_and_contested_may_be_said_at_once() -> None:
    over = clusters([], [*chain(CAP + 1), distinct(A, f"{A}/00", f"{A}/08")]).of(f"{A}/03")
    assert over.too_many
    assert over.contested


def test_a_statement_that_is_taken_back_leaves_nothing() -> None:
    before = clusters([A1, B1, C1], both(A1, B1))
    during = clusters([A1, B1, C1], [*both(A1, B1), *both(B1, C1), distinct(C, A1, C1)])
    assert during != before
    assert clusters([A1, B1, C1], both(A1, B1)) == before


# The laws.
TAGS = [f"{shop}/{number}" for shop in (A, B, C) for number in range(4)]
pairs = st.lists(st.sampled_from(TAGS), min_size=2, max_size=2, unique=True)


@st.composite
def statements(draw: st.DrawFn) -> Statement:
    one, other = draw(pairs)
    # Mostly the two shops, so that links come about; now and then one that has no say.
    author = draw(st.sampled_from([tag_shop(one), tag_shop(other)] * 4 + [A, B, C]))
    says: Says = draw(st.sampled_from(["same", "same", "same", "same", "distinct"]))
    return said(author, says, one, other, draw(st.integers(0, 1)))


heard = st.lists(statements(), max_size=30)
modes = st.sampled_from(MODES)


def joining_pairs(sets: list[Statement], links: Links) -> list[tuple[str, str]]:
    """Say by the letter of the rule which pairs join; written apart from the code."""
    found = []
    for one in (s for s in sets if s.says == "same"):
        ends = {one.one, one.other}
        heard_from = {s.author for s in sets if s.says == "same" and {s.one, s.other} == ends}
        shops = {tag.split("/")[0] for tag in ends}
        enough = heard_from >= shops if links == "mutual" else bool(heard_from & shops)
        if links != "none" and enough:
            found.append((one.one, one.other))
    return found


def by_scipy(sets: list[Statement], links: Links) -> set[frozenset[str]]:
    """Give the groups by SciPy's connected components and the two rules that set apart."""
    joined = [(TAGS.index(a), TAGS.index(b)) for a, b in joining_pairs(sets, links)]
    rows, columns = np.array(joined, dtype=int).reshape(-1, 2).T
    graph = coo_matrix((np.ones(len(rows)), (rows, columns)), shape=(len(TAGS), len(TAGS)))
    _, labels = connected_components(graph, directed=False)
    groups: set[frozenset[str]] = set()
    for label in set(labels.tolist()):
        members = {tag for tag, its in zip(TAGS, labels, strict=True) if its == label}
        doubted = any(
            s.says == "distinct" and {s.one, s.other} <= members and s.author in s.shops
            for s in sets
        )
        apart = doubted or len(members) > 8
        groups |= {frozenset({tag}) for tag in members} if apart else {frozenset(members)}
    return groups


def as_sets(found: Clusters) -> set[frozenset[str]]:
    return {frozenset(group) for group in found.groups}


@given(heard, modes)
@settings(max_examples=150, deadline=None)
def test_the_groups_are_scipys_components_less_those_set_apart(
    sets: list[Statement], links: Links
) -> None:
    assert as_sets(clusters(TAGS, sets, links)) == by_scipy(sets, links)


@given(st.data(), heard, modes)
@settings(max_examples=100, deadline=None)
def test_any_order_of_arrival_and_any_repeat_give_the_same(
    data: st.DataObject, sets: list[Statement], links: Links
) -> None:
    shuffled = data.draw(st.permutations(sets))
    tags = data.draw(st.permutations(TAGS))
    turned = [replace(one, one=one.other, other=one.one) for one in shuffled]
    found = clusters(TAGS, sets, links)
    again = clusters(tags, [*shuffled, *shuffled[:3]], links)
    assert again == found
    assert [again.of(tag) for tag in TAGS] == [found.of(tag) for tag in TAGS]
    assert clusters(TAGS, turned, links).groups == found.groups


@given(heard, modes)
@settings(max_examples=100, deadline=None)
def test_each_tag_is_in_one_group_and_every_member_sees_the_same(
    sets: list[Statement], links: Links
) -> None:
    found = clusters(TAGS, sets, links)
    assert sorted(tag for group in found.groups for tag in group) == sorted(TAGS)
    for tag in TAGS:
        joined = found.of(tag)
        assert tag in joined.tags
        assert len(joined.tags) <= CAP
        assert joined.links == links
        assert bool(joined.apart) == (joined.contested or joined.too_many)
        together = {*joined.tags, *joined.apart}
        assert {one.statement for one in joined.statements} == {
            one for one in sets if together & one.pair
        }
        for other in joined.tags:
            assert found.of(other).statements == joined.statements
            assert found.of(other).tags == joined.tags


@given(heard, statements())
@settings(max_examples=100, deadline=None)
def test_a_doubt_never_joins(sets: list[Statement], more: Statement) -> None:
    doubt = replace(more, says="distinct", record="doubt")
    before, after = clusters(TAGS, sets), clusters(TAGS, [*sets, doubt])
    for group in as_sets(after):
        assert any(group <= was for was in as_sets(before))


@given(heard, statements(), modes)
@settings(max_examples=100, deadline=None)
def test_a_statement_changes_nothing_beyond_the_tags_that_hang_together_by_it(
    sets: list[Statement], more: Statement, links: Links
) -> None:
    before, after = clusters(TAGS, sets, links), clusters(TAGS, [*sets, more], links)
    touched = {tag for end in more.pair for tag in (*after.of(end).tags, *after.of(end).apart)}
    for tag in set(TAGS) - touched:
        assert after.of(tag) == before.of(tag)
