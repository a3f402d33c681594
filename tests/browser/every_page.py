"""Every page there is, by who opens it."""

from __future__ import annotations

from dataclasses import dataclass

HERO = "veskerdal-hire/VH-107-A"
RACER = "brindle-bench/BB-01-A"
UNMEASURED = "veskerdal-hire/VH-105-A"

GUEST, READER, TECHNICIAN, OWNER, OPERATOR = "", "reader", "technician", "owner", "operator"


@dataclass(frozen=True)
class Opened:
    """One page, and who opens it.

    Parameters
    ----------
    name : str
    path : str
        With `{share}` and `{range}` for what the node's own are.
    who : str
        The role at the hire; "" for a guest.
    status : int
        With which it is answered.
    """

    name: str
    path: str
    who: str = GUEST
    status: int = 200

    def __str__(self) -> str:
        return self.name


PAGES = (
    Opened("home", "/"),
    Opened("enter", "/enter"),
    Opened("shared", "/s/{share}"),
    Opened("shared certificate", "/s/{share}/certificate"),
    Opened("shared no more", "/s/skishare_gone", status=404),
    Opened("home of a reader", "/", READER),
    Opened("own settings", "/own", READER),
    Opened("own password", "/own/password", READER),
    Opened("ski", f"/t/{HERO}", READER),
    Opened("ski of another shop", f"/t/{RACER}", READER),
    Opened("ski without a reading", f"/t/{UNMEASURED}", TECHNICIAN),
    Opened("pair of a ski", f"/t/{HERO}/pair", TECHNICIAN),
    Opened("days out of a ski", f"/t/{HERO}/use", TECHNICIAN),
    Opened("status of a ski", f"/t/{HERO}/status", TECHNICIAN),
    Opened("unknown ski", "/t/veskerdal-hire/VH-1O7-A", TECHNICIAN, 404),
    Opened("bench", "/bench", TECHNICIAN),
    Opened("unknown tag on the bench", "/bench?tag=VHL-0001G", TECHNICIAN),
    Opened("ski on the bench", f"/bench/{HERO}", TECHNICIAN),
    Opened("plan", f"/bench/{HERO}/plan", TECHNICIAN),
    Opened("plan worked out", f"/bench/{HERO}/plan?base=0.5&side=2&structure=on", TECHNICIAN),
    Opened("job", f"/bench/{HERO}/job", TECHNICIAN),
    Opened("fleet", "/fleet", READER),
    Opened("due", "/fleet/due", READER),
    Opened("outlook", "/fleet/outlook", READER),
    Opened("pairs", "/fleet/pairs", READER),
    Opened("rates", "/fleet/rates", READER),
    Opened("labels", "/labels", TECHNICIAN),
    Opened("labels to print", "/labels/{range}/print", TECHNICIAN),
    Opened("labels again", "/labels/tags/print?tags=VH-107-A", TECHNICIAN),
    Opened("people", "/shop/people", OWNER),
    Opened("removing a person", "/shop/people/hire-counter/remove", OWNER),
    Opened("people, for a reader", "/shop/people", READER, 403),
    Opened("keys", "/shop/keys", OWNER),
    Opened("share links", "/shop/links", OWNER),
    Opened("looks", "/shop/looks", OWNER),
    Opened("practice", "/shop/practice", OWNER),
    Opened("node", "/node", OPERATOR),
    Opened("no page", "/nothing-here", status=404),
)
