"""Laws of links: the order of arrival makes no difference, and what is taken back leaves none."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from apps.records.canonical import record_id
from apps.registry.actors import OPERATOR, Actor
from apps.registry.door import append_records
from apps.registry.fsck import fsck
from apps.registry.models import Condition, Likeness, Link, Ski, Tag, Wear
from apps.registry.rebuild import rebuild
from apps.registry.submissions import Submission
from tests.registry.dumps import index_dump
from tests.registry.foreign import Author, introduction, shop_of
from tests.registry.links import link
from tests.registry.making import NOW, a_draft, a_submission, pulled

SHOPS = {name: shop_of("east.example", name) for name in ("first", "second", "third")}
TAGS = [("first", "E-1"), ("first", "E-2"), ("second", "E-3"), ("third", "E-4")]
TABLES = (Tag, Ski, Link, Condition, Wear, Likeness)
SAID = st.lists(
    st.tuples(
        st.integers(0, 3), st.integers(0, 3), st.booleans(), st.sampled_from("sssd"), st.booleans()
    ).filter(lambda said: said[0] != said[1]),
    max_size=5,
)


def about(author: Author, kind: str, place: int, **members: Any) -> Submission:
    """A record about one of the tags, the same whenever it is made."""
    code, tag = TAGS[place]
    salt = members.pop("salt")
    # What one author enters of one moment stands in his own order, which every node is given.
    members["performed_at"] = str(date(2024, 1, 1) + timedelta(days=salt))
    return author.signed(kind, tag=tag, shop=SHOPS[code].handle, salt=f"{salt:032x}", **members)


def story(said: Sequence[tuple[int, int, bool, str, bool]]) -> list[Submission]:
    """All that shops say: tags, days of use, links of them, and some links taken back."""
    found = []
    for place, (code, _) in enumerate(TAGS):
        found.append(about(SHOPS[code], "description", place, salt=place))
        body = {"days": 2**place}
        found.append(about(SHOPS[code], "usage", place, salt=place + 10, body=body))
    for number, (one, other, by_first, word, is_taken_back) in enumerate(said, start=100):
        author = SHOPS[TAGS[one if by_first else other][0]]
        code, tag = TAGS[other]
        body = {"other_ski": {"shop": SHOPS[code].handle, "tag": tag}, "evidence": ["markings"]}
        kind = "same-ski" if word == "s" else "distinct-ski"
        stated = about(author, kind, one, salt=number, body=body)
        found.append(stated)
        if is_taken_back:
            refers_to = [record_id(stated.data)]
            found.append(about(author, "retraction", one, salt=number + 100, refers_to=refers_to))
    return found


def outcome(arriving: Sequence[Submission]) -> dict[str, Any]:
    """What the index holds when records come one by one, and then nothing of it stays."""
    with transaction.atomic():
        pulled(*introduction("east.example", *SHOPS.values()), peer="east.example")
        for submission in arriving:
            pulled(submission, peer="east.example")
        found = {
            table.__name__: sorted(table._default_manager.values(), key=repr) for table in TABLES
        }
        assert fsck().problems == ()
        transaction.set_rollback(True)
    return found


class AnyOrder(TestCase):
    """Tags, links and what takes them back, in any order."""

    @settings(max_examples=8, deadline=None, suppress_health_check=list(HealthCheck))
    @given(said=SAID, data=st.data())
    def test_the_order_of_arrival_makes_no_difference(
        self, said: list[tuple[int, int, bool, str, bool]], data: st.DataObject
    ) -> None:
        """The index is the same row by row."""
        records = story(said)
        shuffled = data.draw(st.permutations(records))
        assert outcome(shuffled) == outcome(records)


def test_each_shop_counts_what_is_joined(db: None) -> None:
    """So that the law above is not kept by joining nothing."""
    mutual = [(1, 2, True, "s", False), (1, 2, False, "s", False), (0, 1, True, "s", False)]
    rows = outcome(story(mutual))["Condition"]
    use = {row["ski_id"].partition("/")[2]: row["days_in_use"] for row in rows}
    assert use == {"E-1": 7, "E-3": 7, "E-4": 8}


RECORDS = 1_000


def salted(draft: Any, number: int) -> Submission:
    """A record with a fixed salt."""
    return a_submission(draft, salt=f"{number:032x}")


def linked() -> list[Submission]:
    """A link of two tags, and its retraction."""
    stated = salted(link("same-ski", ("fellbench", "A-1"), ("fellbench", "A-2")), 1)
    back = a_draft("retraction", tag="A-1", refers_to=[record_id(stated.data)])
    return [stated, salted(back, 2)]


def records() -> list[Submission]:
    """Many records on both tags."""
    made = []
    for number in range(RECORDS):
        day = f"20{10 + number % 14}-{1 + number % 12:02}-{1 + number % 28:02}"
        kind = ("usage", "usage", "usage", "measurement")[number % 4]
        draft = a_draft(kind, tag=f"A-{1 + number % 2}", performed_at=day)
        made.append(salted(draft, 100 + number))
    return made


@pytest.mark.django_db
def test_what_was_linked_and_parted_is_as_if_it_never_was(shop: Actor) -> None:
    described = [salted(a_draft("description", tag=f"A-{n}"), 10 + n) for n in (1, 2)]
    stated, taken_back = linked()
    orders = (
        [[*described, stated], records(), [taken_back]],
        [described, records(), [stated], [taken_back]],
    )
    dumps = []
    for batches in orders:
        with transaction.atomic():
            for batch in batches:
                append_records(submissions=batch, by=shop, now=NOW)
            dumps.append(index_dump())
            rebuild(by=OPERATOR)
            assert index_dump() == dumps[-1]
            transaction.set_rollback(True)
    first, second = (without_places(dump) for dump in dumps)
    assert first == second
    assert len(first["Ski"]) == 2


def without_places(dump: dict[str, list[dict[str, Any]]]) -> dict[str, list[dict[str, Any]]]:
    """The tree of the log follows from the order of the records alone."""
    return {table: rows for table, rows in dump.items() if table != "TreeNode"}
