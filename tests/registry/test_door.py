"""The one door: what it lets in, what it refuses and why, all or nothing."""

from __future__ import annotations

import json
from datetime import timedelta
from typing import Any

import pytest
from pytest_django.fixtures import Settings

from apps.records.canonical import canonical_bytes, record_id
from apps.records.envelope import DescriptionDraft
from apps.records.examples import BODIES
from apps.records.reading import compose
from apps.registry import actions
from apps.registry.actors import OPERATOR, Actor, Scope, shop_actor
from apps.registry.door import append_records
from apps.registry.errors import (
    BadSignature,
    InvalidSubmission,
    NotAllowed,
    Refused,
    RegistryError,
    TagExists,
    UnknownRecord,
    UnknownTag,
    WrongState,
)
from apps.registry.models import KeptKey, LogHead, Record, SigningKey, Tag
from apps.registry.submissions import Submission
from tests.registry.foreign import Author
from tests.registry.making import (
    FIRST,
    NOW,
    TAG,
    a_draft,
    a_ski,
    a_submission,
    handle,
    key_of,
    pulled,
    signed,
    write,
)

pytestmark = pytest.mark.django_db
HEX = "ab" * 32


def append(by: Actor, *submissions: Submission) -> list[bool]:
    appended = append_records(submissions=submissions, by=by, now=NOW)
    return [one.is_new for one in appended]


def refusal(by: Actor, *submissions: Submission) -> RegistryError:
    before = Record.objects.count()
    with pytest.raises(RegistryError) as caught:
        append(by, *submissions)
    assert Record.objects.count() == before
    return caught.value


def test_a_record_is_kept_byte_for_byte(shop: Actor) -> None:
    submission = a_submission(a_draft("description"))
    (appended,) = append_records(submissions=[submission], by=shop, now=NOW)
    row = Record.objects.get(kind="description")
    assert bytes(row.document) == submission.data
    assert (row.id, row.log_index, row.received_at) == (appended.record_id, FIRST, NOW)
    assert row.signature == submission.signature
    assert LogHead._default_manager.get().size == FIRST + 1


def test_the_log_has_no_holes(shop: Actor) -> None:
    a_ski(shop)
    refusal(shop, a_submission(a_draft("usage", tag="NOBODYS")))
    write(shop, a_draft("usage"), a_draft("status"))
    places = Record.objects.order_by("log_index").values_list("log_index", flat=True)
    assert list(places) == list(range(FIRST + 3))


def test_a_record_that_is_here_keeps_its_place(shop: Actor) -> None:
    a_ski(shop)
    submission = a_submission(a_draft("usage"))
    assert append(shop, submission) == [True]
    (again,) = append_records(submissions=[submission], by=shop, now=NOW + timedelta(days=1))
    assert (again.is_new, again.log_index, again.received_at) == (False, FIRST + 1, NOW)


def test_one_call_may_hold_the_same_record_twice(shop: Actor) -> None:
    a_ski(shop)
    submission = a_submission(a_draft("usage"))
    assert append(shop, submission, submission) == [True, False]


def test_what_comes_first_in_a_call_counts_for_what_follows(shop: Actor) -> None:
    usage = a_submission(a_draft("usage"))
    correction = a_draft("correction", refers_to=[record_id(usage.data)])
    submissions = [a_submission(a_draft("description")), usage, a_submission(correction)]
    assert append(shop, *submissions) == [True, True, True]


def test_all_or_nothing_and_every_reason_at_once(shop: Actor) -> None:
    a_ski(shop)
    error = refusal(
        shop,
        a_submission(a_draft("usage")),
        Submission(data=b'{"kind":"usage"}', signature=""),
        a_submission(a_draft("usage", tag="NOBODYS")),
        a_submission(a_draft("usage"), salt="0" * 32, code="tarnedge"),
    )
    assert isinstance(error, Refused)
    assert [(type(e), e.submission) for e in error.errors] == [
        (InvalidSubmission, 1),
        (UnknownTag, 2),
        (NotAllowed, 3),
        (NotAllowed, 3),
        (BadSignature, 3),
    ]
    assert Record.objects.count() == FIRST + 1


def test_a_faulty_record_tells_all_its_faults(shop: Actor) -> None:
    document = compose(a_draft("usage"), author=shop.handle, key=key_of("fellbench").key_id)
    wrong = {**document, "salt": "short", "body": {"days": -1, "dayz": 2}}
    error = refusal(shop, signed(wrong, key=key_of("fellbench")))
    assert isinstance(error, InvalidSubmission)
    assert {fault.pointer for fault in error.faults} == {"/salt", "/body/days", "/body/dayz"}


def test_only_the_canonical_form_is_let_in(shop: Actor) -> None:
    good = a_submission(a_draft("description"))
    key = key_of("fellbench")
    data = good.data + b"\n"
    error = refusal(shop, Submission(data=data, signature=key.sign_text(data)))
    assert isinstance(error, InvalidSubmission)
    assert error.faults[0].code == "not-canonical"


class TestSignatures:
    def test_another_text_than_was_signed(self, shop: Actor) -> None:
        good = a_submission(a_draft("description"))
        other = a_submission(a_draft("description"), salt="0" * 32)
        error = refusal(shop, Submission(data=other.data, signature=good.signature))
        assert isinstance(error, BadSignature)
        assert "match" in error.sentence

    def test_a_malformed_signature(self, shop: Actor) -> None:
        good = a_submission(a_draft("description"))
        error = refusal(shop, Submission(data=good.data, signature="none"))
        assert isinstance(error, BadSignature)
        assert "86" in error.sentence

    def test_an_unknown_key(self, shop: Actor) -> None:
        key = key_of("nobody")
        document = compose(a_draft("description"), author=shop.handle, key=key.key_id)
        error = refusal(shop, signed(document, key=key))
        assert isinstance(error, BadSignature)
        assert error.pointer == "/key"

    @pytest.mark.usefixtures("other_shop")
    def test_another_shops_key(self, shop: Actor) -> None:
        key = key_of("tarnedge")
        document = compose(a_draft("description"), author=shop.handle, key=key.key_id)
        error = refusal(shop, signed(document, key=key))
        assert isinstance(error, BadSignature)
        assert "fellbench" in error.sentence

    def test_a_key_ends_at_a_place_of_the_log(self, shop: Actor) -> None:
        SigningKey.objects.update(ends_at=FIRST + 1, ended_by=HEX)
        assert append(shop, a_submission(a_draft("description"))) == [True]
        error = refusal(shop, a_submission(a_draft("usage")))
        assert isinstance(error, BadSignature)
        assert f"place {FIRST + 1}" in error.sentence

    def test_a_key_begins_at_a_place_of_the_log(self, shop: Actor) -> None:
        SigningKey.objects.update(valid_from=FIRST)
        assert isinstance(refusal(shop, a_submission(a_draft("description"))), BadSignature)

    def test_places_are_counted_within_a_call(self, shop: Actor) -> None:
        SigningKey.objects.update(ends_at=FIRST + 1, ended_by=HEX)
        error = refusal(shop, a_submission(a_draft("description")), a_submission(a_draft("usage")))
        assert isinstance(error, BadSignature)
        assert error.submission == 1


class TestWhoMayWrite:
    @pytest.mark.usefixtures("shop")
    def test_not_the_operator(self) -> None:
        with pytest.raises(NotAllowed, match="operator"):
            append(OPERATOR, a_submission(a_draft("description")))

    def test_not_with_a_key_that_only_reads(self, shop: Actor) -> None:
        with pytest.raises(NotAllowed, match="scope `write`"):
            append(shop_actor(shop.handle, Scope.READ), a_submission(a_draft("description")))

    @pytest.mark.usefixtures("shop")
    def test_not_under_another_name(self, other_shop: Actor) -> None:
        error = refusal(other_shop, a_submission(a_draft("description")))
        assert isinstance(error, NotAllowed)
        assert error.pointer == "/author"

    def test_nor_one_that_is_here_already(self, shop: Actor, other_shop: Actor) -> None:
        submission = a_submission(a_draft("description"))
        append(shop, submission)
        assert isinstance(refusal(other_shop, submission), NotAllowed)

    @pytest.mark.usefixtures("shop")
    def test_another_shop_may_not_register_ones_tag(self, other_shop: Actor) -> None:
        error = refusal(other_shop, a_submission(a_draft("description"), code="tarnedge"))
        assert isinstance(error, NotAllowed)
        assert error.pointer == "/ski/shop"

    @pytest.mark.parametrize("kind", ["description", "job", "measurement", "bevel-setting"])
    @pytest.mark.usefixtures("ski")
    def test_whoever_holds_the_tag_may_write(self, other_shop: Actor, kind: str) -> None:
        assert append(other_shop, a_submission(a_draft(kind), code="tarnedge")) == [True]

    @pytest.mark.parametrize("kind", ["usage", "status", "pair"])
    @pytest.mark.usefixtures("ski")
    def test_what_only_the_tags_own_shop_writes(self, other_shop: Actor, kind: str) -> None:
        error = refusal(other_shop, a_submission(a_draft(kind), code="tarnedge"))
        assert isinstance(error, NotAllowed)
        assert kind in error.sentence

    @pytest.mark.usefixtures("ski")
    def test_a_correction_is_no_way_around_it(self, other_shop: Actor) -> None:
        (job,) = write(other_shop, a_draft("job"))
        correction = a_draft("correction", refers_to=[job.record_id])
        error = refusal(other_shop, a_submission(correction, code="tarnedge"))
        assert isinstance(error, WrongState)
        assert error.pointer == "/body/replacement/kind"


class TestTags:
    def test_the_first_description_registers_the_tag(self, shop: Actor) -> None:
        appended = a_ski(shop)
        tag = Tag.objects.get()
        assert (tag.key, tag.ski_id) == (f"{shop.handle}/{TAG}",) * 2
        assert tag.registered_by == appended.record_id

    def test_a_tag_is_registered_once(self, shop: Actor) -> None:
        a_ski(shop)
        with pytest.raises(TagExists) as caught:
            a_ski(shop)
        assert caught.value.pointer == "/ski/tag"
        assert Tag.objects.count() == 1

    def test_a_second_description_is_one_more_record(self, shop: Actor) -> None:
        first = a_ski(shop)
        write(shop, a_draft("description", body={}))
        assert Record.objects.of_kind("description").count() == 2
        assert Tag.objects.get().registered_by == first.record_id

    def test_nothing_is_written_on_an_unknown_tag(self, shop: Actor) -> None:
        error = refusal(shop, a_submission(a_draft("usage")))
        assert isinstance(error, UnknownTag)
        assert error.pointer == "/ski"


class TestNothingIsRecordedBeforeItWasDone:
    """The call comes in at noon in UTC on 2025-03-01."""

    @pytest.mark.parametrize(
        "performed_at",
        ["2025-03-02", "2025-03-01T12:05:01Z", "2025-03-02T02:05:01+14:00"],
    )
    def test_tomorrow_is_refused(self, performed_at: str, ski: str, shop: Actor) -> None:
        error = refusal(shop, a_submission(a_draft("usage", performed_at=performed_at)))
        assert isinstance(error, WrongState)
        assert error.pointer == "/performed_at"
        assert "lies in the future" in error.sentence

    @pytest.mark.parametrize(
        "performed_at",
        [
            "2025-03-01",
            "2025-03-01T12:05:00Z",
            # In the east it is the next day already, and the offset says so.
            "2025-03-02T02:00:00+14:00",
        ],
    )
    def test_today_is_taken(self, performed_at: str, ski: str, shop: Actor) -> None:
        draft = a_draft("usage", performed_at=performed_at)
        assert append(shop, a_submission(draft)) == [True]

    def test_the_nodes_own_calendar_counts(self, ski: str, shop: Actor, settings: Settings) -> None:
        settings.TIME_ZONE = "Pacific/Kiritimati"
        assert append(shop, a_submission(a_draft("usage", performed_at="2025-03-02"))) == [True]

    def test_a_record_from_another_node_has_until_the_day_has_begun_anywhere(
        self, east: Author
    ) -> None:
        pulled(east.signed("description"), east.signed("usage", performed_at="2025-03-02"))
        with pytest.raises(WrongState, match="future"):
            pulled(east.signed("usage", performed_at="2025-03-03"))


class TestWhatACloseNames:
    def draft_closing(self, record: str, index: int) -> Any:
        finding = {**BODIES["job"]["findings"][0], "closes": {"record": record, "index": index}}
        return a_draft("job", body={"findings": [finding]})

    @pytest.mark.usefixtures("ski")
    def test_a_finding_of_an_earlier_job(self, shop: Actor) -> None:
        (job,) = write(shop, a_draft("job"))
        assert append(shop, a_submission(self.draft_closing(job.record_id, 0))) == [True]

    @pytest.mark.usefixtures("ski")
    def test_not_a_job_that_nobody_wrote(self, shop: Actor) -> None:
        error = refusal(shop, a_submission(self.draft_closing("0" * 64, 0)))
        assert isinstance(error, UnknownRecord)
        assert error.pointer == "/body/findings/0/closes/record"

    @pytest.mark.usefixtures("ski")
    def test_not_a_finding_that_it_has_not(self, shop: Actor) -> None:
        (job,) = write(shop, a_draft("job"))
        error = refusal(shop, a_submission(self.draft_closing(job.record_id, 1)))
        assert isinstance(error, WrongState)
        assert error.pointer == "/body/findings/0/closes/index"

    @pytest.mark.usefixtures("ski")
    def test_not_a_record_that_is_no_job(self, shop: Actor) -> None:
        (usage,) = write(shop, a_draft("usage"))
        error = refusal(shop, a_submission(self.draft_closing(usage.record_id, 0)))
        assert "has 0 findings" in error.sentence

    @pytest.mark.usefixtures("ski")
    def test_not_one_of_another_ski(self, shop: Actor) -> None:
        a_ski(shop, tag="OTHER-1")
        (job,) = write(shop, a_draft("job", tag="OTHER-1"))
        error = refusal(shop, a_submission(self.draft_closing(job.record_id, 0)))
        assert isinstance(error, WrongState)
        assert "another ski" in error.sentence


def test_where_a_record_came_from_is_kept(east: Author) -> None:
    (appended,) = pulled(east.signed("description"), peer="fjall.example")
    assert Record.objects.get(id=appended.record_id).origin == "fjall.example"


def test_the_columns_repeat_what_the_bytes_say(ski: str, shop: Actor) -> None:
    write(shop, a_draft("measurement", performed_at="2025-01-31T23:30:00-05:00"))
    row = Record.objects.get(kind="measurement")
    assert (row.author, row.subject_id, row.key_id) == (
        handle("fellbench"),
        ski,
        key_of("fellbench").key_id,
    )
    assert row.performed_at == "2025-01-31T23:30:00-05:00"
    assert row.performed_day.isoformat() == "2025-01-31"
    assert row.performed_sort == "2025-02-01T04:30:00Z"
    assert row.order_key == "2025-02-01T04:30:00/3"


def test_a_shop_that_keeps_its_key_hands_in_whole_records(shop: Actor) -> None:
    KeptKey.objects.all().delete()
    with pytest.raises(NotAllowed, match="hand them in whole"):
        write(shop, a_draft("description"))
    assert append(shop, a_submission(a_draft("description"))) == [True]


def test_a_draft_for_another_author_is_refused(shop: Actor) -> None:
    with pytest.raises(InvalidSubmission) as caught:
        write(shop, a_draft("description", author="tarnedge"))
    assert (caught.value.pointer, caught.value.submission) == ("/author", 0)


def test_the_node_signs_what_it_composes(shop: Actor) -> None:
    draft = a_draft("description")
    assert isinstance(draft, DescriptionDraft)
    appended = actions.register_ski(draft=draft, by=shop, now=NOW)
    public = key_of("fellbench").public
    assert public.verify(appended.data, appended.signature).holds
    assert canonical_bytes(json.loads(appended.data)) == appended.data
