"""Three nodes whose shops write of the same skis, and their logs in any interleaving."""

from __future__ import annotations

from random import Random
from typing import Any

from apps.records.examples import BODIES
from tests.exchange.homes import FakeNode, Home, Signed, key_of

FELL, LAKE, RIDGE = "fell.example", "lake.example", "ridge.example"
FB = {"shop": f"fellbench@{FELL}", "tag": "FB-1"}
TS = {"shop": f"tarnside@{LAKE}", "tag": "TS-1"}
CR = {"shop": f"crag@{RIDGE}", "tag": "CR-1"}
EVIDENCE = {"same-ski": ["both_labels"], "distinct-ski": ["side_by_side"]}


def three_homes() -> tuple[Home, Home, Home]:
    """The homes, with every kind of record that more than one of them has a say in."""
    fell, lake, ridge = Home(FELL, ["fellbench"]), Home(LAKE, ["tarnside"]), Home(RIDGE, ["crag"])
    _fell(fell)
    _lake(lake, fell)
    _ridge(ridge, fell, lake)
    return fell, lake, ridge


def _about(ski: dict[str, str]) -> dict[str, str]:
    return {"tag": ski["tag"], "shop": ski["shop"]}


def _link(kind: str, other: dict[str, str]) -> dict[str, Any]:
    return {"kind": kind, "body": {"other_ski": other, "evidence": EVIDENCE[kind]}}


def _fell(fell: Home) -> None:
    by = {"code": "fellbench", **_about(FB)}
    fell.write("description", **by)
    job = fell.write("job", **by)
    usage = fell.write("usage", **by)
    fell.write("correction", **by, refers_to=[usage.id])
    fell.write(**_link("same-ski", TS), **by)
    wrong = fell.write("measurement", **by)
    fell.write("retraction", **by, refers_to=[wrong.id], body=BODIES["retraction"])
    fell.write("bevel-setting", **by, performed_at="2025-02-02")
    fell.write("erasure", "node", **_about(FB), refers_to=[job.id])


def _lake(lake: Home, fell: Home) -> None:
    by = {"code": "tarnside", **_about(TS)}
    lake.write("description", **by)
    lake.write("job", **by)
    lake.write(**_link("same-ski", FB), **by)
    lake.write("measurement", "tarnside", **_about(FB), performed_at="2025-02-03")
    lake.write("dispute", "tarnside", **_about(FB), refers_to=[fell.records[4].id])
    lake.write("key-end", "node", body=_end(lake, "tarnside"))
    lake.add_key("second", "shop")


def _end(home: Home, code: str) -> dict[str, str]:
    handle = home.handle(code)
    return {"shop": handle, "key": key_of(handle).key_id, "reason": "lost"}


def _ridge(ridge: Home, fell: Home, lake: Home) -> None:
    by = {"code": "crag", **_about(CR)}
    ridge.write("description", **by)
    ridge.write(**_link("same-ski", TS), **by)
    link = ridge.write(**_link("distinct-ski", FB), **by)
    ridge.write("usage", **by)
    ridge.write("retraction", **by, refers_to=[link.id], body={"reason": "wrong_ski"})
    ridge.write("measurement", "crag", **_about(FB), performed_at="2025-02-04")
    ridge.write("dispute", "crag", **_about(TS), refers_to=[lake.records[3].id])


def logs(homes: tuple[Home, ...], chance: Random) -> list[FakeNode]:
    """The logs of the homes' nodes: each has its own records, and pulled some of the others'.

    Whatever a node pulled came in the order in which its home wrote it.
    """
    return [FakeNode(home.host, _log(home, homes, chance)) for home in homes]


def _log(own: Home, homes: tuple[Home, ...], chance: Random) -> list[Signed]:
    waiting = {
        home.host: home.records
        if home is own
        else home.records[: chance.randint(0, len(home.records))]
        for home in homes
    }
    # The own node's own key begins its log.
    log = [waiting[own.host][0]]
    waiting[own.host] = waiting[own.host][1:]
    while any(waiting.values()):
        host = chance.choice([host for host, records in waiting.items() if records])
        log.append(waiting[host][0])
        waiting[host] = waiting[host][1:]
    return log
