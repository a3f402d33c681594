"""Shops, their API keys, their practice, and who may keep them."""

from __future__ import annotations

from dataclasses import fields
from datetime import timedelta
from typing import Any

import pytest

from apps.registry import actions, keys
from apps.registry.actors import BENCH_SCOPES, OPERATOR, Actor, Scope, shop_actor
from apps.registry.door import append_records
from apps.registry.errors import (
    BadSignature,
    InvalidSetting,
    KeyLimit,
    NotAllowed,
    NotKnown,
    Refused,
    ShopExists,
    UnknownShop,
    UnknownTag,
)
from apps.registry.fsck import fsck
from apps.registry.models import ApiKey, LookUp, Record, SigningKey
from apps.registry.practices import PracticeSettings, practice_of, practices_of
from apps.tuning.practice import PRACTICE_REMOVALS, Amount, Practice
from tests.registry.making import (
    FIRST,
    NOW,
    TAG,
    a_draft,
    a_shop,
    a_ski,
    a_submission,
    handle,
    key_of,
    shop_row,
    write,
)

pytestmark = pytest.mark.django_db
YEAR = timedelta(days=365)


class TestAddShop:
    def test_it_has_a_handle_and_a_key_from_here_on(self, shop: Actor) -> None:
        a_ski(shop)
        a_shop("tarnedge")
        key = SigningKey.objects.get(author=handle("tarnedge"))
        begins = Record.objects.get(id=key.record_id)
        assert (key.key_id, key.held_by, key.ends_at) == (key_of("tarnedge").key_id, "node", None)
        assert (begins.kind, begins.log_index) == ("key", key.valid_from) == ("key", FIRST + 1)
        assert bytes(key.public) == key_of("tarnedge").public.raw
        assert str(shop_row(shop)) == shop.handle

    @pytest.mark.usefixtures("db")
    def test_its_key_is_a_new_one_each_time(self) -> None:
        actions.add_shop(code="fellbench", by=OPERATOR)
        actions.add_shop(code="tarnedge", by=OPERATOR)
        keys = SigningKey.objects.exclude(author=handle("node"))
        assert len(set(keys.values_list("public", flat=True))) == 2

    def test_only_the_operator_adds_one(self, shop: Actor) -> None:
        with pytest.raises(NotAllowed):
            actions.add_shop(code="tarnedge", by=shop)

    def test_a_code_is_taken_once(self, shop: Actor) -> None:
        with pytest.raises(ShopExists, match=shop.handle):
            actions.add_shop(code="fellbench", by=OPERATOR)
        assert SigningKey.objects.of_author(shop.handle).count() == 1

    @pytest.mark.parametrize(
        "code", ["", "Fell", "-fell", "fell bench", "f" * 33, "fell@node", "node"]
    )
    @pytest.mark.usefixtures("db")
    def test_a_code_is_part_of_addresses(self, code: str) -> None:
        with pytest.raises(InvalidSetting) as caught:
            actions.add_shop(code=code, by=OPERATOR)
        assert caught.value.pointer == "/code"

    @pytest.mark.parametrize("label", ["x" * 81, "Fell\nBench", "Fell\u202eBench"])
    @pytest.mark.usefixtures("db")
    def test_a_label_can_be_shown(self, label: str) -> None:
        with pytest.raises(InvalidSetting) as caught:
            actions.add_shop(code="fellbench", label=label, by=OPERATOR)
        assert caught.value.pointer == "/label"


class TestReplaceSigningKey:
    def test_the_old_key_ends_where_the_new_one_begins(self, shop: Actor) -> None:
        a_ski(shop)
        keeper = shop_actor(shop.handle, Scope.KEYS)
        new = actions.replace_signing_key(shop=shop.handle, by=keeper)
        old = SigningKey.objects.get(key_id=key_of("fellbench").key_id)
        assert (old.valid_from, old.ends_at) == (FIRST - 1, FIRST + 1)
        assert (new.valid_from, new.ends_at) == (FIRST + 2, None)
        ended = Record.objects.get(id=old.ended_by)
        assert (ended.kind, ended.log_index) == ("key-end", FIRST + 1)

    def test_the_log_stays_sound_and_the_node_signs_with_the_new_one(self, shop: Actor) -> None:
        a_ski(shop)
        actions.replace_signing_key(shop=shop.handle, by=OPERATOR, key=key_of("new"))
        (appended,) = write(shop, a_draft("usage"))
        assert appended.record.key == key_of("new").key_id
        assert fsck().is_sound

    def test_what_the_old_key_signs_now_is_refused(self, shop: Actor) -> None:
        a_ski(shop)
        actions.replace_signing_key(shop=shop.handle, by=OPERATOR)
        with pytest.raises(BadSignature, match=f"not valid at place {FIRST + 3}"):
            append_records(submissions=[a_submission(a_draft("usage"))], by=shop, now=NOW)

    def test_another_shop_may_not(self, shop: Actor, other_shop: Actor) -> None:
        with pytest.raises(NotAllowed):
            actions.replace_signing_key(shop=shop.handle, by=other_shop)
        with pytest.raises(NotAllowed, match="scope `keys`"):
            actions.replace_signing_key(shop=shop.handle, by=shop)


def issue(shop: str, by: Actor = OPERATOR, **more: Any) -> actions.IssuedKey:
    return actions.issue_api_key(
        **{"shop": shop, "scopes": BENCH_SCOPES, "by": by, "now": NOW, **more}
    )


class TestApiKeys:
    def test_the_secret_is_shown_once_and_not_kept(self, shop: Actor) -> None:
        issued = issue(shop.handle)
        kept = ApiKey.objects.values().get()
        secret = issued.token.rpartition("_")[2]
        assert issued.token.startswith(f"skireg_{issued.prefix}_")
        assert not [value for value in kept.values() if secret in str(value)]

    def test_it_says_who_comes(self, shop: Actor) -> None:
        issued = issue(shop.handle, scopes=[Scope.READ])
        assert keys.authenticate(issued.token, now=NOW) == Actor(
            shop.handle, frozenset({Scope.READ})
        )

    def test_it_expires(self, shop: Actor) -> None:
        issued = issue(shop.handle, lasts=YEAR)
        late = NOW + YEAR - timedelta(seconds=1)
        assert keys.authenticate(issued.token, now=late).handle == shop.handle
        with pytest.raises(NotKnown):
            keys.authenticate(issued.token, now=NOW + YEAR)

    def test_it_is_revoked_at_once(self, shop: Actor) -> None:
        issued = issue(shop.handle)
        actions.revoke_api_key(prefix=issued.prefix, by=shop, now=NOW)
        with pytest.raises(NotKnown):
            keys.authenticate(issued.token, now=NOW)

    def test_a_second_revocation_changes_nothing(self, shop: Actor) -> None:
        issued = issue(shop.handle)
        first = actions.revoke_api_key(prefix=issued.prefix, by=OPERATOR, now=NOW)
        again = actions.revoke_api_key(prefix=issued.prefix, by=OPERATOR, now=NOW + YEAR)
        assert first.revoked_at == again.revoked_at == NOW

    @pytest.mark.parametrize(
        "token", ["", "skireg", "skireg_abcdefgh_" + "x" * 43, "other_abcdefgh_" + "x" * 43]
    )
    @pytest.mark.usefixtures("shop")
    def test_other_tokens_are_nobodys(self, token: str) -> None:
        with pytest.raises(NotKnown):
            keys.authenticate(token, now=NOW)

    def test_the_right_prefix_is_not_enough(self, shop: Actor) -> None:
        issued = issue(shop.handle)
        with pytest.raises(NotKnown):
            keys.authenticate(f"skireg_{issued.prefix}_{'x' * 43}", now=NOW)

    def test_two_are_live_at_most(self, shop: Actor) -> None:
        first = issue(shop.handle)
        issue(shop.handle)
        with pytest.raises(KeyLimit, match="Revoke one"):
            issue(shop.handle)
        actions.revoke_api_key(prefix=first.prefix, by=shop, now=NOW)
        issue(shop.handle)

    def test_expired_ones_don_t_count(self, shop: Actor) -> None:
        issue(shop.handle, lasts=timedelta(hours=1))
        issue(shop.handle, lasts=timedelta(hours=1))
        issue(shop.handle, now=NOW + timedelta(hours=2))

    def test_other_shops_don_t_count(self, shop: Actor, other_shop: Actor) -> None:
        issue(shop.handle)
        issue(shop.handle)
        issue(other_shop.handle)

    def test_a_shop_keeps_its_own(self, shop: Actor, other_shop: Actor) -> None:
        issued = issue(shop.handle, by=shop)
        with pytest.raises(NotAllowed):
            issue(shop.handle, by=other_shop)
        with pytest.raises(NotAllowed):
            actions.revoke_api_key(prefix=issued.prefix, by=other_shop)
        with pytest.raises(NotAllowed):
            issue(shop.handle, by=shop_actor(shop.handle, Scope.READ))

    def test_an_unknown_prefix(self, shop: Actor) -> None:
        with pytest.raises(NotAllowed):
            actions.revoke_api_key(prefix="abcdefgh", by=shop)

    @pytest.mark.usefixtures("db")
    def test_an_unknown_shop(self) -> None:
        with pytest.raises(UnknownShop):
            issue(handle("nobody"))

    @pytest.mark.parametrize(
        ("more", "pointer"),
        [
            ({"scopes": []}, "/scopes"),
            ({"lasts": timedelta(0)}, "/lasts"),
            ({"lasts": timedelta(days=2000)}, "/lasts"),
        ],
    )
    def test_what_a_key_can_t_be(self, shop: Actor, more: dict[str, Any], pointer: str) -> None:
        with pytest.raises(InvalidSetting) as caught:
            issue(shop.handle, **more)
        assert caught.value.pointer == pointer


class TestPractice:
    def set(self, shop: Actor, settings: dict[str, Any]) -> Practice:
        actions.set_practice(shop=shop.handle, settings=settings, by=shop)
        return practice_of(shop.handle)

    def test_it_begins_with_the_default(self, shop: Actor) -> None:
        assert practice_of(shop.handle) == Practice()

    def test_another_node_s_shop_has_the_default(self, shop: Actor) -> None:
        self.set(shop, {"least_edge_height_mm": "1.0"})
        found = practices_of([shop.handle, "crag@fjall.example"])
        assert found["crag@fjall.example"] == Practice()
        assert found[shop.handle].least_edge_height_mm == 1.0

    def test_numbers_may_be_numbers_or_strings(self, shop: Actor) -> None:
        practice = self.set(
            shop,
            {
                "least_edge_height_mm": 1,
                "reading_uncertainty_mm": "0.02",
                "long_gap_days": 400,
                "service_operations": ["stone_grind"],
            },
        )
        assert practice.least_edge_height_mm == 1.0
        assert practice.reading_uncertainty_mm == 0.02
        assert practice.long_gap_days == 400
        assert practice.service_operations == ("stone_grind",)
        assert practice.least_base_thickness_mm == Practice().least_base_thickness_mm

    def test_an_operation_may_take_other_amounts(self, shop: Actor) -> None:
        amount = {"low_mm": "0.01", "usual_mm": "0.02", "high_mm": "0.03"}
        practice = self.set(shop, {"removals": {"stone_grind": {"edge_height": amount}}})
        grind = practice.removal("stone_grind")
        assert grind.edge_height == Amount(0.01, 0.02, 0.03)
        assert grind.base_thickness == Amount(0.0, 0.0, 0.0)
        assert practice.removal("belt_grind") == PRACTICE_REMOVALS["belt_grind"]

    def test_setting_it_anew_forgets_what_was_set(self, shop: Actor) -> None:
        self.set(shop, {"long_gap_days": 400})
        assert self.set(shop, {}) == Practice()
        assert shop_row(shop).practice == "{}"

    @pytest.mark.parametrize(
        ("settings", "pointer"),
        [
            ({"least_edge_height": 1}, "/least_edge_height"),
            ({"least_edge_height_mm": "1.0005"}, "/least_edge_height_mm"),
            ({"least_edge_height_mm": 9}, "/least_edge_height_mm"),
            ({"least_edge_height_mm": "thick"}, "/least_edge_height_mm"),
            ({"long_gap_days": 0}, "/long_gap_days"),
            ({"service_operations": ["sharpen"]}, "/service_operations/0"),
            ({"removals": {"stone_grind": {"edge": {}}}}, "/removals/stone_grind/edge"),
            (
                {
                    "removals": {
                        "stone_grind": {
                            "edge_height": {"low_mm": 0.2, "usual_mm": 0.1, "high_mm": 0.3}
                        }
                    }
                },
                "/removals/stone_grind/edge_height/usual_mm",
            ),
        ],
    )
    def test_a_wrong_setting_is_named(
        self, shop: Actor, settings: dict[str, Any], pointer: str
    ) -> None:
        with pytest.raises(InvalidSetting) as caught:
            self.set(shop, settings)
        assert caught.value.pointer == pointer
        assert caught.value.sentence.startswith(pointer.lstrip("/"))

    def test_all_wrong_settings_at_once(self, shop: Actor) -> None:
        with pytest.raises(Refused) as caught:
            self.set(shop, {"long_gap_days": 0, "facet_width_mm": 0})
        assert len(caught.value.errors) == 2

    def test_every_value_of_the_arithmetic_can_be_set(self) -> None:
        assert set(PracticeSettings.model_fields) == {field.name for field in fields(Practice)}

    @pytest.mark.usefixtures("db")
    def test_an_unknown_shop(self) -> None:
        with pytest.raises(UnknownShop):
            actions.set_practice(shop=handle("nobody"), settings={}, by=OPERATOR)

    def test_another_shop_may_not(self, shop: Actor, other_shop: Actor) -> None:
        with pytest.raises(NotAllowed, match="belongs to"):
            actions.set_practice(shop=shop.handle, settings={}, by=other_shop)


class TestLookUp:
    def test_a_look_at_anothers_tag_is_noted(
        self, ski: str, shop: Actor, other_shop: Actor
    ) -> None:
        tag = actions.look_up_tag(shop=shop.handle, tag=TAG, by=other_shop, now=NOW)
        assert tag.key == ski
        (noted,) = LookUp.objects.of_tag(ski)
        assert (noted.shop_id, noted.looked_at) == (other_shop.handle, NOW)
        assert str(noted) == f"{other_shop.handle} looked at {ski}"

    @pytest.mark.parametrize("operator", [True, False])
    def test_ones_own_and_the_operators_are_not(
        self, ski: str, shop: Actor, *, operator: bool
    ) -> None:
        by = OPERATOR if operator else shop
        assert actions.look_up_tag(shop=shop.handle, tag=TAG, by=by).key == ski
        assert not LookUp.objects.exists()

    def test_a_tag_that_nobody_registered(self, shop: Actor) -> None:
        with pytest.raises(UnknownTag):
            actions.look_up_tag(shop=shop.handle, tag="NOBODYS", by=shop)

    @pytest.mark.usefixtures("ski")
    def test_a_key_that_only_writes(self, shop: Actor) -> None:
        with pytest.raises(NotAllowed, match="scope `read`"):
            actions.look_up_tag(shop=shop.handle, tag=TAG, by=shop_actor(shop.handle, Scope.WRITE))


def test_an_actor_has_a_name_for_sentences() -> None:
    assert OPERATOR.name == "the operator"
    assert shop_actor("crag@fjall.example").name == "crag@fjall.example"
