"""Checks of what happens when several do the same at the same time."""

from __future__ import annotations

from service_registry.conformance.answers import Answer
from service_registry.conformance.checks import Failed, Subject, expect
from service_registry.conformance.idempotence import new_key
from service_registry.conformance.node import AT_ONCE, Node

SUBJECT = Subject("races")
MOST_REPEATS = 20


@SUBJECT.check("Of many that register one tag at once, one does; the others are told so.")
def one_registers_a_tag(node: Node) -> None:
    """Register one from many threads."""
    tag = node.new_tag()
    answers = node.at_once(lambda _: node.register(tag))
    expect(sorted(one.status for one in answers), [201] + [409] * (AT_ONCE - 1), "The statuses")
    for answer in answers:
        if answer.status == 409:
            answer.is_problem(409, "tag-exists")


@SUBJECT.check("The same request with one key from many at once writes one record.")
def one_key_writes_once(node: Node) -> None:
    """Send one from many threads; one that is told to wait asks again."""
    headers = new_key()
    draft = node.usage()

    def send(_number: int) -> Answer:
        for _ in range(MOST_REPEATS):
            answer = node.post("usage", draft, headers=headers)
            if answer.status != 409:
                return answer.has_status(201)
        raise Failed("A request stayed under way for longer than it can take.")

    ids = {str(answer.at("id")) for answer in node.at_once(send)}
    expect(len(ids), 1, "The number of records")


@SUBJECT.check("Records written at once get places of their own, and each is found at its own.")
def places_are_given_once(node: Node) -> None:
    """Write from many threads, then ask for proof of each place."""
    draft = node.usage()
    written = node.at_once(lambda _: node.write("usage", draft), times=2 * AT_ONCE)
    places = {answer.at("log_index"): answer.at("id") for answer in written}
    expect(len(places), len(written), "The number of places")
    for place, name in places.items():
        proof = node.get(f"log/proof?index={place}").has_status(200)
        expect(proof.at("record"), name, f"The record at place {place}")
