"""The whole scenario: who owns which ski, what became of it, and which mistakes were made."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from numpy.random import Generator, default_rng

from service_registry.demo.chronicle import Chronicle, Entry, Ski
from service_registry.demo.club import live_as_race_ski, live_as_test_ski
from service_registry.demo.gauges import DEALER_GAUGES, Body
from service_registry.demo.models import race_model, rental_models, used_model
from service_registry.demo.rental import RentalSki
from service_registry.demo.seasons import Season, seasons_until
from service_registry.demo.shops import BENCH, DEALER, HIRE
from service_registry.demo.truth import TrueSki, new_ski

DEFAULT_SEED = 20
RENTAL_PAIRS = 20
OTHER_PAIRS = 2
HERO_PAIR = 7
UNMEASURED_PAIRS = frozenset({5, 11, 17})
HARD_USE, HERO_HEIGHT_MM = 1.6, 1.74
GOUGE_LEFT_MM = 0.62


@dataclass(frozen=True, slots=True)
class Scenario:
    """Everything that is written, and the ski the story is about as it really is.

    Attributes
    ----------
    seasons : tuple of Season
        The oldest first.
    chronicles : tuple of Chronicle
        One a ski.
    hero, partner : Ski
        The hard-used rental ski that changes hands, and the other ski of its pair.
    hero_true : TrueSki
        What a gauge can be laid on.
    """

    seasons: tuple[Season, ...]
    chronicles: tuple[Chronicle, ...]
    hero: Ski
    partner: Ski
    hero_true: TrueSki

    def entries(self) -> list[Entry]:
        """Give all entries by day; those of one ski stay in the order they were written."""
        every = [entry for book in self.chronicles for entry in book.entries]
        return sorted(every, key=lambda entry: entry.day)

    @property
    def handover(self) -> Season:
        """The winter at whose end the ski changes hands."""
        return self.seasons[-1]


def make_scenario(seed: int, today: date) -> Scenario:
    """Make the scenario; equal for an equal seed and winter.

    Parameters
    ----------
    seed : int
        Rules all chance in it.
    today : date
        The day it is made on; nothing in it is later.
    """
    seasons = seasons_until(today)
    fleet = [
        ski for pair in range(1, RENTAL_PAIRS + 1) for ski in _rental_pair(seed, pair, seasons)
    ]
    hero, partner = (ski for ski in fleet if ski.book.ski.tag in HERO_TAGS)
    _change_hands(hero, seasons[-1])
    _change_hands(partner, seasons[-1])
    _intake_with_slip(partner, seasons[-1])
    _ends(fleet, seasons[-1])
    _mistakes(fleet)
    others = [*_race_skis(seed, seasons), *_test_skis(seed, seasons)]
    books = (*(ski.book for ski in fleet), *others)
    return Scenario(seasons, books, hero.book.ski, partner.book.ski, hero.true)


def rental_tag(pair: int, ski: str) -> str:
    """Give the tag of one ski of a pair."""
    return f"VH-{100 + pair}-{ski}"


HERO_TAGS = (rental_tag(HERO_PAIR, "A"), rental_tag(HERO_PAIR, "B"))


def _rental_pair(seed: int, pair: int, seasons: Sequence[Season]) -> Iterator[RentalSki]:
    models = rental_models(seasons[0].first_year)
    hardness = float(default_rng([seed, pair]).uniform(0.6, 1.2))
    is_hero = pair == HERO_PAIR
    for number, letter in enumerate("AB"):
        rng = default_rng([seed, pair, number])
        ski = RentalSki(
            book=Chronicle(Ski(HIRE, rental_tag(pair, letter))),
            true=new_ski(rng, height_mm=HERO_HEIGHT_MM) if is_hero else new_ski(rng),
            model=models[pair % len(models)],
            hardness=HARD_USE if is_hero else hardness,
            measured=pair not in UNMEASURED_PAIRS,
            states_removal=pair % 4 == 0,
        )
        ski.live(seasons, rental_tag(pair, "BA"[number]))
        yield ski


def _change_hands(ski: RentalSki, season: Season) -> None:
    """Make a rental ski fit to be shown: one light pass that nobody set the base bevel after."""
    job = ski.visit()
    job.grind(1, stated=True)
    job.leave_open(GOUGE_LEFT_MM, {"surface": "base", "station": "forebody", "position_mm": 1080})
    job.did("wax", wax_class="universal", iron_temperature_c=120)
    job.read("after")
    ski.book.write("job", season.day(4, 27), job.body())
    ski.book.write("status", season.day(4, 29), {"status": "sold", "reason": "sold_on"})


def _intake_with_slip(ski: RentalSki, season: Season) -> None:
    """Let the buyer read both edges and mistype one; the scenario leaves it uncorrected."""
    left, right = DEALER_GAUGES.edge_heights(ski.true, None)
    day = season.day(5, 12)
    ski.book.write("measurement", day, left, by=DEALER)
    ski.book.write("measurement", day, mistyped(right), by=DEALER)


def mistyped(reading: Body) -> Body:
    """Give a reading as a finger types it that strikes 9 for the first decimal."""
    value = str(reading["value"])
    return {**reading, "value": f"{value[:2]}9{value[3:]}"}


def _ends(fleet: Sequence[RentalSki], season: Season) -> None:
    by_tag = {ski.book.ski.tag: ski.book for ski in fleet}
    for pair, status in (
        (13, {"status": "retired", "reason": "delaminated"}),
        (16, {"status": "quarantined", "reason": "accident"}),
        (18, {"status": "missing", "reason": "lost"}),
    ):
        by_tag[rental_tag(pair, "A")].write("status", season.day(4, 30), status)


def _mistakes(fleet: Sequence[RentalSki]) -> None:
    """Let the fleet notice two slips: days typed wrong, and a job on the wrong ski."""
    book = fleet[2].book
    usage = next(entry for entry in book.entries if entry.kind == "usage")
    days = int(usage.body["days"])
    book.correct(usage.label, _weeks_later(usage.day), {"days": days + 1}, "typing_error")
    other = fleet[4].book
    job = next(entry for entry in book.entries if entry.kind == "job")
    strayed = other.write("job", job.day, job.body)
    other.retract(strayed, _weeks_later(job.day), "wrong_ski")


def _weeks_later(day: date) -> date:
    return date.fromordinal(day.toordinal() + 14)


def _race_skis(seed: int, seasons: Sequence[Season]) -> Iterator[Chronicle]:
    for pair in range(1, OTHER_PAIRS + 1):
        for number, letter in enumerate("AB"):
            book = Chronicle(Ski(BENCH, f"BB-{pair:02d}-{letter}"))
            true = new_ski(_rng(seed, 100 + pair, number), base_mm=1.5)
            model = race_model(seasons[0].first_year)
            live_as_race_ski(book, true, model, seasons, f"BB-{pair:02d}-{'BA'[number]}")
            yield book


def _test_skis(seed: int, seasons: Sequence[Season]) -> Iterator[Chronicle]:
    for pair in range(1, OTHER_PAIRS + 1):
        for number, letter in enumerate("AB"):
            book = Chronicle(Ski(DEALER, f"PS-{pair:02d}-{letter}"))
            true = new_ski(_rng(seed, 200 + pair, number), height_mm=1.60)
            model = used_model(seasons[0].first_year - 2)
            live_as_test_ski(book, true, model, seasons, measured=pair == 1)
            yield book


def _rng(seed: int, pair: int, number: int) -> Generator:
    return default_rng([seed, pair, number])
