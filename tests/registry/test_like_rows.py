"""The rows by which like skis are found: they follow every append, and a rebuild makes the same."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase
from pytest_django import DjangoAssertNumQueries

from apps.registry import like_rows, models
from apps.registry.actors import OPERATOR, Actor
from apps.registry.fsck import fsck
from apps.registry.histories import read_folds
from apps.registry.like_rows import like_values, likenesses, model_keys, store_like_rows
from apps.registry.rebuild import rebuild
from tests.registry.dumps import index_dump
from tests.registry.like_skis import SCREE, described, set_bevels
from tests.registry.making import a_draft, a_shop, write

pytestmark = pytest.mark.django_db


def texts_with_keys() -> set[str]:
    return set(model_keys().values_list("text", flat=True))


def test_all_descriptions_make_one_row(shop: Actor, other_shop: Actor) -> None:
    key = described(shop, "FB-0042", use=None)
    write(shop, a_draft("description", body={"length_mm": 1650}, performed_at="2025-02-09"))
    later = {"use": "rental", "length_mm": 1640}
    write(other_shop, a_draft("description", body=later, performed_at="2025-02-10"))
    row = likenesses().get(ski=key)
    assert (row.text, row.year, row.length_mm) == ("corvid/scree 84", 2019, 1650)
    assert (row.construction, row.use, row.waist_width_um) == ("sandwich", "rental", 84_000)
    assert str(row) == f"likeness of {key}"


def test_skis_described_alike_share_a_variant_and_its_keys(shop: Actor) -> None:
    same = [described(shop, "L-1"), described(shop, "L-2", model_text="SCREE-84")]
    other = described(shop, "L-3", length_mm=1650)
    variants = dict(likenesses().values_list("ski", "variant"))
    assert len({variants[key] for key in same}) == 1
    assert variants[other] not in {variants[key] for key in same}
    assert set(model_keys().values_list("key", flat=True)) == {"scr-", "-ree", "84"}
    assert str(model_keys().order_by("key")[0]) == "-ree of corvid/scree 84"


def test_a_ski_without_a_model_is_not_found_by_any_key(shop: Actor) -> None:
    key = described(shop, "FB-0042", model_text=None)
    set_bevels(shop, "FB-0042", "1.00")
    assert likenesses().get(ski=key).text == ""
    assert (model_keys().count(), like_values().count()) == (0, 0)
    write(shop, a_draft("description", body={"model_text": "Scree"}))
    assert texts_with_keys() == {"corvid/scree"}
    bevels = like_values().filter(source="set", place="left").order_by("what")
    assert [str(row) for row in bevels] == [f"base_bevel set of {key}", f"side_bevel set of {key}"]


def test_the_keys_of_a_text_stay_as_long_as_a_ski_has_it(shop: Actor) -> None:
    for tag in ("L-1", "L-2"):
        described(shop, tag)
    for tag, left in (("L-1", {"corvid/scree 84", "corvid/moraine"}), ("L-2", {"corvid/moraine"})):
        body, day = {"model_text": "Moraine"}, "2025-02-10"
        write(shop, a_draft("description", tag=tag, body=body, performed_at=day))
        assert texts_with_keys() == left


def test_a_retracted_description_is_forgotten(shop: Actor) -> None:
    described(shop, "FB-0042", model_text=None)
    (appended,) = write(shop, a_draft("description", body={"model_text": "Scree"}))
    write(shop, a_draft("retraction", refers_to=[appended.record_id]))
    assert (model_keys().count(), likenesses().get().text) == (0, "")


def test_what_changes_nothing_writes_nothing(
    shop: Actor, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    key = described(shop, "FB-0042")
    set_bevels(shop, "FB-0042", "1.00")
    folds = read_folds([key])
    with django_assert_num_queries(2):
        store_like_rows(folds)


def test_a_sold_ski_keeps_its_rows(shop: Actor) -> None:
    described(shop, "FB-0042")
    set_bevels(shop, "FB-0042", "1.00")
    before = like_values().count()
    write(shop, a_draft("status", body={"status": "sold"}))
    assert like_values().count() == before > 0


def test_a_very_long_text_is_cut(shop: Actor) -> None:
    key = described(shop, "FB-0042", model_text="ﷺ" * 100, maker_text="x" * 200)
    maker, _, model = likenesses().get(ski=key).text.partition("/")
    assert (len(maker), 0 < len(model) <= 120) == (120, True)


@pytest.fixture
def a_described_ski(shop: Actor) -> str:
    key = described(shop, "FB-0042")
    set_bevels(shop, "FB-0042", "1.00")
    assert fsck().is_sound
    return key


@pytest.mark.usefixtures("a_described_ski")
class TestFsck:
    def test_a_changed_likeness(self) -> None:
        likenesses().update(year=2001)
        (problem,) = fsck().problems
        assert (problem.code, problem.table) == ("wrong-row", "likeness")
        assert "year" in problem.sentence

    def test_a_missing_value(self) -> None:
        like_values().filter(what="base_bevel", place="left").delete()
        (problem,) = fsck().problems
        assert (problem.code, problem.table) == ("missing-row", "likevalue")
        assert problem.row.endswith("/base_bevel/set//left")

    def test_a_missing_key_and_a_stray_one(self, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.setattr(like_rows, "TEXTS_AT_ONCE", 1)
        model_keys().filter(key="84").delete()
        models.ModelKey(key="old-", text="/olden").save(force_insert=True)
        found = [(p.code, p.table, p.row) for p in fsck().problems]
        assert found == [
            ("missing-row", "modelkey", "84/corvid/scree 84"),
            ("extra-row", "modelkey", "old-//olden"),
        ]

    def test_rebuild_mends_it(self) -> None:
        before = index_dump()
        for table in (likenesses(), like_values(), model_keys()):
            table.delete()
        rebuild(by=OPERATOR)
        assert index_dump() == before
        assert fsck().is_sound


CHANGES = st.fixed_dictionaries(
    {},
    optional={
        "model_text": st.sampled_from(["Scree 84", "Scree 94", "—", "Moraine"]),
        "length_mm": st.sampled_from([1650, 1720]),
        "waist_width_mm": st.sampled_from(["83.0", "84.0"]),
    },
)


class AnyDescriptions(TestCase):
    """However skis are described again and taken back: append and rebuild agree."""

    @settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
    @given(acts=st.lists(st.tuples(st.sampled_from(["L-1", "L-2"]), CHANGES), max_size=6))
    def test_append_and_rebuild_agree(self, acts: list[tuple[str, dict[str, object]]]) -> None:
        """Each act describes one of two skis; every second one is taken back at once."""
        shop = a_shop()
        for tag in ("L-1", "L-2"):
            described(shop, tag)
        for number, (tag, body) in enumerate(acts):
            (appended,) = write(shop, a_draft("description", tag=tag, body=body))
            set_bevels(shop, tag, "0.50")
            if number % 2:
                write(shop, a_draft("retraction", tag=tag, refers_to=[appended.record_id]))
        before = index_dump()
        rebuild(by=OPERATOR)
        assert index_dump() == before
        assert fsck().problems == ()


def test_the_model_s_description_is_one_that_the_schema_knows() -> None:
    assert set(SCREE) <= set(a_draft("description", body=SCREE).body.model_fields_set)
