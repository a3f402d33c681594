"""The scenario passes the one door, and the story says what the API answers about it."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pytest
from django.test import Client, TestCase

from apps.registry.fsck import fsck
from apps.registry.models import LogHead, Record
from service_registry.demo.asking import Counter, NotAnswered
from service_registry.demo.loading import LoadedShop, composed, load
from service_registry.demo.scenario import DEFAULT_SEED, Scenario, make_scenario
from service_registry.demo.shops import BENCH, DEALER, HIRE, SHOPS
from service_registry.demo.story import address, tell
from tests.demo.curl import CurlLine, curl_lines

TODAY = date(2026, 11, 25)
PORT = 8123
WRITTEN_BY_STORY = 2
# The log begins with the key of the node and those of its shops.
KEYS = 1 + len(SHOPS)
ROOT = "/api/v1"


def flat(lines: list[str]) -> str:
    """The story as one line of words, without the curl lines."""
    return " ".join(" ".join(line for line in lines if "curl " not in line).split())


def is_write(line: CurlLine) -> bool:
    """Whether a curl line writes; such a one names its idempotency key."""
    return "Idempotency-Key" in line.headers


class StoryTests(TestCase):
    """What happens on one node with the scenario on it."""

    scenario: Scenario
    shops: dict[str, LoadedShop]

    @classmethod
    def setUpTestData(cls) -> None:
        cls.scenario = make_scenario(DEFAULT_SEED, TODAY)
        cls.shops = load(cls.scenario, DEFAULT_SEED)

    def told(self) -> list[str]:
        """Tell the story."""
        counter = Counter("127.0.0.1", PORT)
        return list(tell(self.scenario, self.shops, counter, seed=DEFAULT_SEED))

    def ask(self, path: str, shop: str) -> Any:
        """Ask the API directly."""
        token = self.shops[shop].token
        answer = Client().get(ROOT + path, headers={"Authorization": f"Bearer {token}"})
        return json.loads(answer.content)

    def condition(self, shop: str) -> Any:
        """Ask for the condition of the ski the story is about."""
        return self.ask(f"{address(self.scenario.hero)}/condition", shop)

    def test_every_entry_passes_the_door_and_the_log_is_sound(self) -> None:
        entries = KEYS + len(self.scenario.entries())
        assert Record.objects.count() == entries
        assert LogHead._default_manager.get().size == entries
        assert fsck().problems == ()

    def test_the_records_are_the_same_bytes_for_the_same_seed(self) -> None:
        ids: dict[str, str] = {}
        for entry in self.scenario.chronicles[0].entries:
            data = composed(entry, self.shops[entry.by.code], DEFAULT_SEED, ids)
            assert Record.objects.filter(document=data).count() == 1

    def test_the_story_says_what_the_api_answers(self) -> None:
        before = self.condition(BENCH.code)
        story = flat(self.told())
        for edge in before["bevels"]:
            for face in ("base", "side"):
                standing = edge[face][0]
                assert f"{face} bevel - {standing['standing']}: {standing['sentence']}" in story
        for one in before["material"]["known"]:
            left = one["left"]
            assert f"{left['value_mm']} mm ({left['low_mm']} to {left['high_mm']}) left" in story
            assert f"{one['services']['services']} services" in story
        assert before["bevels"][0]["base"][0]["standing"] == "partly_ground_away"
        assert before["material"]["unknown"]

    def test_the_story_says_what_the_plan_takes(self) -> None:
        lines = self.told()
        (asked,) = (one for one in curl_lines(lines) if one.path.endswith("/plan"))
        plan = json.loads(asked.ask(Client()).content)
        story = flat(lines)
        taken = plan["spent"]["edge_height_mm"]["left"]
        assert f"{taken['usual_mm']} mm ({taken['low_mm']} to {taken['high_mm']}) off" in story
        assert plan["verdict"]["outcome"].replace("_", " ") in story
        assert plan["options"][0]["code"] in story
        assert plan["options"][0]["saves"]
        assert all(caution["sentence"] in story for caution in plan["cautions"])
        assert {"sharp-edges", "no-gloves-at-wheel", "wax-fume"} <= {
            caution["code"] for caution in plan["cautions"]
        }

    def test_the_slip_is_flagged_by_its_code_and_corrected(self) -> None:
        story = flat(self.told())
        assert "steel-grew (certain)" in story
        assert self.condition(DEALER.code)["warnings"] == []
        partner = self.ask(f"{address(self.scenario.partner)}/condition", DEALER.code)
        assert "steel-grew" in {warning["code"] for warning in partner["warnings"]}
        items = self.ask(f"{address(self.scenario.hero)}/history?limit=200", DEALER.code)["items"]
        assert [item["state"] for item in items].count("corrected") == 1

    def test_every_curl_line_answers_and_changes_nothing_more(self) -> None:
        lines = curl_lines(self.told())
        size = LogHead._default_manager.get().size
        assert size == KEYS + len(self.scenario.entries()) + WRITTEN_BY_STORY
        assert len(lines) >= 6
        for line in lines:
            assert line.address.startswith(f"http://127.0.0.1:{PORT}{ROOT}/")
            assert line.ask(Client()).status_code == (201 if is_write(line) else 200)
        assert LogHead._default_manager.get().size == size

    def test_the_story_can_be_read_in_three_minutes(self) -> None:
        lines = self.told()
        assert len(lines) < 120
        assert all(len(line) <= 98 for line in lines if "curl " not in line)
        assert HIRE.label in lines[0]

    def test_the_fleets_part_says_what_the_api_answers(self) -> None:
        story = flat(self.told())
        midwinter = f"{self.scenario.seasons[-1].first_year + 2}-01-20"
        due = self.ask(f"/fleet/due?as_of={midwinter}&limit=500", HIRE.code)["items"]
        assert f"{len(due)} skis are due" in story
        assert due[0]["reasons"][0]["sentence"] in story
        for factor in ("1", "0.5"):
            path = f"/fleet/outlook?months=84&services_factor={factor}"
            below = self.ask(path, HIRE.code)["months"][-1]["below"]
            assert f"{below['expected']} ({below['low']} to {below['high']})" in story
        pair = self.ask(f"{address(self.scenario.hero)}/pair", HIRE.code)
        assert f"drifted apart? {pair['outcome']}." in story

    def test_a_refusal_ends_the_story_with_its_reason(self) -> None:
        counter = Counter("127.0.0.1", PORT)
        with pytest.raises(NotAnswered, match="404"):
            counter.get(self.shops[HIRE.code], f"/skis/{HIRE.code}/NO-SUCH-TAG/condition")
