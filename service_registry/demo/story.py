"""The story of a hard-used rental ski that changes hands, told from what the node answers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from apps.tuning.cautions import cautions_for
from service_registry.demo import sentences
from service_registry.demo.asking import Counter
from service_registry.demo.chronicle import Ski
from service_registry.demo.fleet_story import fleet_story
from service_registry.demo.gauges import BENCH_GAUGES, DEALER_GAUGES
from service_registry.demo.loading import LoadedShop
from service_registry.demo.past import winters
from service_registry.demo.scenario import Scenario, mistyped
from service_registry.demo.seasons import Season
from service_registry.demo.shops import BENCH, DEALER, HIRE, SHOPS, VALLEY
from service_registry.demo.telling import curl, points, said, titled

IRON_C = 120
WISH = "0.5 degrees base, 2 degrees side, flat to 0.05 mm, a new pattern, the gouge filled, wax"


def tell(
    scenario: Scenario, shops: Mapping[str, LoadedShop], counter: Counter, *, seed: int
) -> Iterator[str]:
    """Tell the story, asking and writing on the way.

    Parameters
    ----------
    scenario : Scenario
        As it was loaded.
    shops : mapping
        The loaded shops by code.
    counter : Counter
        Where they ask.
    seed : int
        Named in the first lines.

    Yields
    ------
    str
        Lines, wrapped, except for the curl lines.
    """
    teller = Teller(scenario, shops, counter)
    yield from teller.opening(seed)
    yield from teller.what_the_fleet_did()
    yield from teller.what_the_workshop_sees()
    yield from teller.what_a_tune_would_take()
    yield from teller.what_the_dealer_learns()
    yield from teller.a_slip_and_its_correction()
    yield from teller.ending()


class Teller:
    """Asks as each of the three shops in turn."""

    def __init__(
        self, scenario: Scenario, shops: Mapping[str, LoadedShop], counter: Counter
    ) -> None:
        self._scenario = scenario
        self._counter = counter
        self._hire, self._bench, self._dealer = (shops[shop.code] for shop in (HIRE, BENCH, DEALER))
        self._ski = address(scenario.hero)

    def opening(self, seed: int) -> Iterator[str]:
        """Say what was made."""
        shops = sentences.listed([f"{shop.label} ({shop.trade})" for shop in SHOPS])
        records, skis = len(self._scenario.entries()), len(self._scenario.chronicles)
        yield from said(
            f"{VALLEY} is an invented valley with three invented shops: {shops}. Seed {seed} made "
            f"{records} records on {skis} skis over {len(self._scenario.seasons)} winters, each "
            "signed and passed through the one door. "
            "Every number below is what the node answers or what a simulated gauge reads; each "
            "curl line asks the node again."
        )

    def what_the_fleet_did(self) -> Iterator[str]:
        """Tell the three winters from the history."""
        path = f"{self._ski}/history?limit=200"
        pages = list(self._counter.pages(self._hire, path))
        items = [item for page in pages for item in page.document["items"]]
        yield from titled(
            f"1 A hard-used rental ski, {self._scenario.hero.tag}, changes hands. "
            f"{HIRE.label} wrote {len(items)} records on it:"
        )
        yield from points(f"{season}: {winter.sentence}." for season, winter in winters(items))
        yield from curl(pages[0])

    def what_the_workshop_sees(self) -> Iterator[str]:
        """Show the condition to a shop that never saw the ski."""
        asked = self._counter.get(self._bench, f"{self._ski}/condition")
        now = asked.document
        yield from titled(f"2 {BENCH.label} sees it for the first time, and asks before grinding:")
        yield from points(sentences.bevels(now))
        yield from points(sentences.steel_left(now))
        yield from points(sentences.open_findings(now))
        yield from said(sentences.unknown(now))
        yield from curl(asked)

    def what_a_tune_would_take(self) -> Iterator[str]:
        """Plan a tune twice: from the history alone, and with what the bench measures."""
        wish = self._wish()
        first = self._counter.post(self._bench, f"{self._ski}/plan", wish)
        yield from titled(f"3 Its wish: {WISH}. What would that take off?")
        yield from points([f"from the history alone - {sentences.verdict(first.document)}"])
        assumed = self._measured_now()
        asked = self._counter.post(self._bench, f"{self._ski}/plan", {**wish, "assumed": assumed})
        yield from self._planned(asked.document, assumed)
        yield from curl(asked)

    def _planned(self, plan: Mapping[str, Any], assumed: Mapping[str, Any]) -> Iterator[str]:
        measured = (
            f"with what the bench measures now, hollow {assumed['concavity_mm']} mm, edge width "
            f"left {assumed['left']['edge_width_mm']} mm, right "
            f"{assumed['right']['edge_width_mm']} mm (+-{assumed['uncertainty_mm']})"
        )
        yield from points(
            [
                f"{measured} - {sentences.verdict(plan)}",
                *sentences.taken(plan),
                sentences.left_after(plan),
                *(f"cheaper: {sentences.cheaper(option)}" for option in plan["options"][:1]),
            ]
        )
        yield from said(f"Cautions: {' '.join(one['sentence'] for one in plan['cautions'])}")

    def _wish(self) -> dict[str, Any]:
        condition = self._counter.get(self._bench, f"{self._ski}/condition").document
        findings = [one["finding"] for one in condition["open_findings"]]
        return {
            "targets": {"both": {"base_bevel_deg": "0.50", "side_bevel_deg": "2.00"}},
            "flatness_tolerance_mm": "0.050",
            "structure": True,
            "repair": [one["key"] for one in findings if one["what"] == "gouge"],
            "wax": True,
            "iron_temperature_c": IRON_C,
        }

    def _measured_now(self) -> dict[str, Any]:
        ski = self._scenario.hero_true
        widths = {one["edge"]: one["value"] for one in BENCH_GAUGES.edge_widths(ski, None)}
        hollow_um = max(point["gap_um"] for point in BENCH_GAUGES.bar(ski, None)["profile"])
        return {
            "left": {"edge_width_mm": widths["left"]},
            "right": {"edge_width_mm": widths["right"]},
            "concavity_mm": f"{hollow_um / 1000:.3f}",
            "uncertainty_mm": f"{BENCH_GAUGES.edge_mm:.3f}",
        }

    def what_the_dealer_learns(self) -> Iterator[str]:
        """Show the buyer's dealer what is left, and how far to believe it."""
        asked = self._counter.get(self._dealer, f"{self._ski}/condition")
        now = asked.document
        yield from titled(f"4 {DEALER.label}, who bought it, asks how long it will last:")
        yield from points(sentences.services_left(now))
        yield from said(
            f"How far to believe it: {now['counts']['records']} signed records, "
            f"{now['counts']['grinds']} grinds over {now['use'].get('total_days', 'unknown')} days "
            f"out; steel read with {sentences.listed(sentences.instruments(now))}; "
            f"{sentences.contradictions(now)}"
        )
        yield from curl(asked)

    def a_slip_and_its_correction(self) -> Iterator[str]:
        """Let the dealer mistype a reading, be told, and correct it."""
        right = DEALER_GAUGES.edge_heights(self._scenario.hero_true, None)[0]
        wrong = mistyped(right)
        day = self._scenario.handover.day(5, 12).isoformat()
        sent = {"ski": self._named(), "performed_at": day, "body": wrong}
        written = self._counter.post(self._dealer, "/measurements", sent, once="demo-slip")
        asked = self._counter.get(self._dealer, f"{self._ski}/condition")
        yield from titled(
            f"5 It reads the left edge at {right['value']} mm (+-{right['uncertainty']}) and types "
            f"{wrong['value']}. Nothing is refused, and the contradiction is flagged:"
        )
        yield from points(sentences.doubts(asked.document))
        replacement = {"kind": "measurement", "performed_at": day, "body": right}
        body = {"body": {"reason": "typing_error", "replacement": replacement}}
        path = f"/records/{written.document['id']}/correction"
        corrected = self._counter.post(self._dealer, path, body, once="demo-correction")
        now = self._counter.get(self._dealer, f"{self._ski}/condition").document
        yield from said(
            "The dealer corrects it; the slip stays in the history, and the correction counts: "
            + sentences.contradictions(now)
        )
        yield from points(sentences.steel_left(now))
        yield from curl(corrected)

    def _named(self) -> dict[str, str]:
        return {"shop": HIRE.code, "tag": self._scenario.hero.tag}

    def ending(self) -> Iterator[str]:
        """Leave a flagged contradiction for the reader, and the usual cautions."""
        asked = self._counter.get(self._dealer, f"{address(self._scenario.partner)}/condition")
        yield from titled(f"6 The other ski of the pair has such a slip still. {_TRY}")
        yield from points(sentences.doubts(asked.document))
        yield from curl(asked)
        yield from fleet_story(self._counter, self._hire, self._ski, self._midwinter())
        binding = " ".join(one.sentence for one in cautions_for("inspect_binding"))
        yield from said(f"Bindings: {binding} A used ski carries no valid setting.")

    def _midwinter(self) -> date:
        """Give a day in the middle of the winter to come."""
        return Season(self._scenario.seasons[-1].first_year + 1).day(1, 20)


_TRY = "Look it up, and correct it yourself:"


def address(ski: Ski) -> str:
    """Give a ski's address below the root of the API."""
    return f"/skis/{ski.shop.code}/{ski.tag}"
