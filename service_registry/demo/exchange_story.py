"""The chapter of the two nodes: what one writes the other learns, and what was wrong is undone."""

from __future__ import annotations

from collections import Counter as Tally
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from numpy.random import default_rng

from service_registry.demo import sentences
from service_registry.demo.asking import Asked, Bearer
from service_registry.demo.bundle_story import bundle_story
from service_registry.demo.gauges import BENCH_GAUGES
from service_registry.demo.scenario import Scenario
from service_registry.demo.shops import HIRE, NEIGHBOUR
from service_registry.demo.telling import curl, points, said, titled
from service_registry.demo.truth import new_ski
from service_registry.demo.two_nodes import Side, TwoNodes

Answer = Mapping[str, Any]

TAG = "KB-31"
REMARK = "The guest in room 12 pays late and complains about everything."
OTHER_SKI_HEIGHT_MM = 1.62
DAYS, DAYS_TYPED = 3, 30
UNDONE = ("retracted", "erased")
LINKED_BY = {"neighbour": "both_labels", "hire": "handed_over"}


@dataclass(frozen=True, slots=True)
class Read:
    """The history of a ski as a node answers it.

    Parameters
    ----------
    items : sequence of mapping
    joined : mapping
        By which links, and which tags.
    asked : Asked
        The first page.
    """

    items: Sequence[Answer]
    joined: Answer
    asked: Asked

    def item(self, record: str) -> Answer:
        """Give what became of a record."""
        return next(item for item in self.items if item["id"] == record)

    @property
    def tags(self) -> str:
        """Name the tags whose records these are."""
        return sentences.listed([one["tag"] for one in self.joined["tags"]])

    @property
    def ranks(self) -> str:
        """Count by whose key the records are signed."""
        ranks = Tally(item["rank"] for item in self.items if "rank" in item)
        return sentences.listed([f"{count} {rank}" for rank, count in sorted(ranks.items())])


class ExchangeTeller:
    """Asks as the fleet on the first node and as the workshop over the pass on the second."""

    def __init__(self, scenario: Scenario, nodes: TwoNodes, hire: Bearer, seed: int) -> None:
        self._nodes = nodes
        self._first, self._second = nodes.first, nodes.second
        self._hire, self._neighbour = hire, nodes.neighbour
        self._hero = {"shop": f"{HIRE.code}@{self._first.host}", "tag": scenario.hero.tag}
        self._other = {"shop": nodes.neighbour.handle, "tag": TAG}
        self._season = scenario.handover
        self._other_true = new_ski(default_rng([seed, 300]), height_mm=OTHER_SKI_HEIGHT_MM)
        self._written: dict[str, str] = {}

    def tell(self) -> Iterator[str]:
        """Tell the chapter, writing on the way.

        Yields
        ------
        str
            Lines, wrapped, except for the curl lines.
        """
        yield from self.two_nodes()
        yield from self.a_key_of_its_own()
        yield from self.one_side_says_so()
        yield from self.both_sides_say_so()
        yield from self.a_doubt_crosses_the_pass()
        yield from self.a_remark_is_erased()
        yield from bundle_story(self._nodes, self._hire, _address(self._hero))
        yield from self.the_link_is_taken_back()

    def two_nodes(self) -> Iterator[str]:
        """Say what runs, and how far each has followed the other."""
        self._second.process.went_well("pull")
        self._second.pull(self._first)
        self._first.pull(self._second)
        yield from titled(
            f"8 Over the pass lies Kelderby, with a node of its own: {self._second.host}, another "
            "process with another database and other keys. Each of the two nodes follows the "
            "other's log, held to the key that its operator handed over:"
        )
        for one, other in self._pairs():
            shown = one.process.run("peers", other.host).splitlines()[0]
            # What follows is when and where, which is another time each time.
            yield from points([f"{one.host} says of {', '.join(shown.split(', ')[:3])}"])

    def a_key_of_its_own(self) -> Iterator[str]:
        """Let the workshop register its key, and hand in signed records."""
        registered = self._second.wire.post(
            self._neighbour, "/keys", self._neighbour.registration(), once="demo-own-key"
        )
        key = registered.document
        yield from titled(
            f"9 {NEIGHBOUR.label}, a {NEIGHBOUR.trade}, keeps its signing key itself. The node "
            f"says: held by the {key['held_by']}, {key['state']}. A ski comes in with half a "
            f"label, which is read as {self._hero['tag']}; it gets the label {TAG}, and the shop "
            "signs what it writes:"
        )
        for name, asked in self._intake():
            kind, rank = asked.document["record"]["kind"], asked.document["rank"]
            self._written[name] = asked.document["id"]
            yield from points([f"{kind}: {rank}"])
        yield from curl(self._record(self._second, self._neighbour, "link"))

    def _intake(self) -> Iterator[tuple[str, Asked]]:
        readings = BENCH_GAUGES.edge_heights(self._other_true, None)
        job = {
            "steps": [{"operation": "clean"}, {"operation": "wax", "wax_class": "universal"}],
            "technician": NEIGHBOUR.technicians[0],
            "remarks": REMARK,
        }
        yield "description", self._hand_in("description", 13, {"length_mm": 1620})
        yield "job", self._hand_in("job", 13, job)
        yield "reading", self._hand_in("measurement", 14, readings[0])
        yield "use", self._hand_in("usage", 15, {"days": DAYS_TYPED})
        yield "link", self._hand_in("same-ski", 15, self._link(self._hero, "neighbour"))

    def _hand_in(self, kind: str, day: int, body: Answer, *refers_to: str) -> Asked:
        shop = self._neighbour
        signed = shop.signed(kind, TAG, self._day(day), body, refers_to=refers_to)
        return self._second.wire.put(shop, signed.path, signed.body)

    def one_side_says_so(self) -> Iterator[str]:
        """Pull the neighbour's word, which joins only for those who ask for it."""
        yield from titled(
            f"10 {self._first.host} pulls. One shop's word that two labels are on "
            "one ski joins for nobody who does not ask for it:"
        )
        yield from points([self._first.pull(self._second)])
        for links in ("mutual", "all"):
            read = self._history(self._first, self._hire, self._hero, links)
            yield from points([f"links={links}: {self._counted(read)}"])
        yield from points(self._standings(read))
        yield from curl(read.asked)

    def both_sides_say_so(self) -> Iterator[str]:
        """Let the fleet say the same; both nodes then answer alike, and material grew."""
        sent = {
            "kind": "same-ski",
            "ski": self._hero,
            "performed_at": self._day(16),
            "body": self._link(self._other, "hire"),
        }
        link = self._first.wire.post(self._hire, "/links", sent, once="demo-link").document
        self._written["fleet_link"] = link["id"]
        yield from titled(
            f"11 {HIRE.label}, who sold the ski to a guest from Kelderby, says the "
            f"same ({link['rank']}); {self._second.host} pulls. Now both nodes join:"
        )
        yield from points([self._second.pull(self._first)])
        for side, shop, ski in self._askers():
            read = self._history(side, shop, ski)
            yield from points([f"{ski['tag']} on {side.host}: {self._counted(read)}"])
        yield from points(self._standings(read))
        yield from said(f"Signed: {read.ranks}. And what both wrote of one ski does not agree:")
        condition = self._first.wire.get(self._hire, f"{_address(self._hero)}/condition")
        yield from points(sentences.doubts(condition.document))
        yield from curl(condition)

    def a_doubt_crosses_the_pass(self) -> Iterator[str]:
        """Let the fleet dispute the reading, and the workshop correct a slip of its own."""
        path = f"/records/{self._written['reading']}/dispute"
        doubt = {"performed_at": self._day(17), "body": {"reason": "wrong_ski"}}
        self._first.wire.post(self._hire, path, doubt, once="demo-dispute")
        came = self._second.pull(self._first)
        replacement = {"kind": "usage", "performed_at": self._day(15), "body": {"days": DAYS}}
        correction = {"reason": "typing_error", "replacement": replacement}
        corrected = self._hand_in("correction", 18, correction, self._written["use"])
        back = self._first.pull(self._second)
        there = self._history(self._second, self._neighbour, self._other)
        here = self._history(self._first, self._hire, self._hero)
        reading, use = there.item(self._written["reading"]), here.item(self._written["use"])
        yield from titled(
            f"12 {HIRE.label} disputes the reading. It stands, and the doubt with it:"
        )
        yield from points([came, f"on {self._second.host}: {_disputed(reading)}"])
        yield from said(
            f"{NEIGHBOUR.label} finds a slip of its own meanwhile, and signs a correction:"
        )
        yield from points([back, f"on {self._first.host}: {_corrected(use)}"])
        yield from curl(corrected)

    def a_remark_is_erased(self) -> Iterator[str]:
        """Erase on one node what should never have been written; the other learns of it."""
        job = self._written["job"]
        before = self._history(self._first, self._hire, self._hero).item(job)
        out = self._second.process.run("erase", job, "--reason", "personal_data")
        yield from titled(
            f"13 One remark should never have been written, and it is on {self._first.host} too: "
            f'"{before["record"]["body"]["remarks"]}" The operator of {self._second.host} '
            f"erases the record (service-registry erase, reason personal_data), and "
            f"{self._first.host} pulls:"
        )
        yield from points([self._first.pull(self._second)])
        for side, shop, ski in self._askers():
            item = self._history(side, shop, ski).item(job)
            kept = "its id, its place and the record that says why are left"
            yield from points([f"on {side.host}: {item['state']}; {kept}"])
        yield from said(out.splitlines()[-1])
        yield from curl(self._record(self._first, self._hire, item["erased_by"]))

    def the_link_is_taken_back(self) -> Iterator[str]:
        """Retract both statements; the histories are apart on both nodes, and nothing is lost."""
        reason = {"reason": "wrong_ski"}
        self._hand_in("retraction", 19, reason, self._written["link"])
        pulled = self._first.pull(self._second)
        apart = self._history(self._first, self._hire, self._hero)
        path = f"/records/{self._written['fleet_link']}/retraction"
        self._first.wire.post(
            self._hire, path, {"performed_at": self._day(19), "body": reason}, once="demo-unlink"
        )
        yield from titled(
            f"15 With the half label wiped clean, {NEIGHBOUR.label} reads the label again: it is "
            "another ski. It takes its word back, which needs nobody's leave:"
        )
        yield from points([pulled, f"{self._hero['tag']}: {self._counted(apart)}"])
        yield from points(self._standings(apart))
        yield from said(f"{HIRE.label} takes its own word back too, and {self._second.host} pulls:")
        yield from points([self._second.pull(self._first)])
        for side, shop, _ in self._askers():
            for ski in (self._hero, self._other):
                read = self._history(side, shop, ski, "all")
                yield from points([f"{ski['tag']} on {side.host}: {self._counted(read)}"])
        condition = self._first.wire.get(self._hire, f"{_address(self._hero)}/condition")
        still = sentences.contradictions(condition.document)
        yield from said(f"Nothing is lost. The history of {self._hero['tag']} by itself: {still}")
        yield from points(self._checked())
        yield from curl(condition)
        yield from curl(self._history(self._second, self._neighbour, self._other).asked)

    def _checked(self) -> Iterator[str]:
        """Have both nodes check all they have, side by side."""
        sides = (self._first, self._second)
        for side in sides:
            side.process.begin("fsck")
        for side in sides:
            yield f"fsck on {side.host}: {side.process.went_well('fsck').strip()}"

    def _pairs(self) -> tuple[tuple[Side, Side], tuple[Side, Side]]:
        return (self._first, self._second), (self._second, self._first)

    def _askers(self) -> tuple[tuple[Side, Bearer, Mapping[str, str]], ...]:
        """Each side, the shop that asks there, and the tag it asks under."""
        return (
            (self._first, self._hire, self._hero),
            (self._second, self._neighbour, self._other),
        )

    def _day(self, day: int) -> str:
        return self._season.day(5, day).isoformat()

    def _link(self, other: Mapping[str, str], by: str) -> Answer:
        return {"other_ski": other, "evidence": [LINKED_BY[by]]}

    def _record(self, side: Side, shop: Bearer, name: str) -> Asked:
        return side.wire.get(shop, f"/records/{self._written.get(name, name)}")

    def _history(
        self, side: Side, shop: Bearer, ski: Mapping[str, str], links: str = "mutual"
    ) -> Read:
        path = f"{_address(ski)}/history?limit=200&links={links}"
        pages = list(side.wire.pages(shop, path))
        items = [item for page in pages for item in page.document["items"]]
        return Read(items, pages[0].document["joined"], pages[0])

    def _counted(self, read: Read) -> str:
        states = Tally(item["state"] for item in read.items)
        undone = [f", {states[state]} of them {state}" for state in UNDONE if states[state]]
        return f"{len(read.items)} records{''.join(undone)}, under {read.tags}"

    def _standings(self, read: Read) -> Iterator[str]:
        # The node gives them by their ids, in which there is chance.
        for one in sorted(read.joined["statements"], key=lambda one: str(one["author"])):
            yield (
                f"{one['author']} says that {one['ski']['tag']} and {one['other_ski']['tag']} are "
                f"the {one['says']} ski: {one['standing']}"
            )


def _address(ski: Mapping[str, str]) -> str:
    return f"/skis/{ski['shop']}/{ski['tag']}"


def _disputed(item: Answer) -> str:
    (dispute,) = item["disputes"]
    record = dispute["record"]
    reading = item["record"]["body"]
    return (
        f"the reading of {reading['value']} mm is flagged {sentences.listed(item['flags'])} by "
        f"{record['author']} ({record['body']['reason']}); it {item['state']}"
    )


def _corrected(item: Answer) -> str:
    was, now = item["record"]["body"]["days"], item["effective"]["body"]["days"]
    (correction,) = item["corrections"]
    return f"{was} days out are {item['state']} to {now}, {correction['rank']}"
