"""What is wrong with a job comes back at its field, and all that was typed is kept."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from apps.pages import writing
from apps.pages.bench.faults import SENTENCES, faults_of, sentence
from apps.records.errors import FieldError, InvalidRecord
from apps.registry.actors import Actor
from apps.registry.errors import (
    InvalidSubmission,
    Refused,
    RegistryError,
    StorageBusy,
    WrongState,
)
from apps.registry.models import KeptKey, Record
from tests.pages.bench.pair import LEFT, OTHER
from tests.pages.bench.sending import PAGE, bare, confirm, errors_of, filled, look, named
from tests.pages.people import text_of

INSPECTED = {"steps__0__operation": "inspect_binding", "steps__0__outcome": "passed"}
HEIGHT = {"measurements__0__quantity": "edge_height_mm"}
TOO_EARLY = (timezone.localdate() + timedelta(days=2)).isoformat()


def page_of(response: Any) -> str:
    page: str = response.content.decode()
    return page


@pytest.mark.parametrize(
    ("changed", "name", "said"),
    [
        ({"head__performed_on": ""}, "head-performed_on", "required"),
        ({"head__performed_on": "31.1.2025"}, "head-performed_on", "valid date"),
        ({"head__performed_on": TOO_EARLY}, "head-performed_on", "lies in the future"),
        (
            {"head__performed_on": "1949-12-31", "steps__0__operation": "wax"},
            "head-performed_on",
            "1950 to 2100",
        ),
        (
            {"head__technician": "t 7", "steps__0__operation": "wax"},
            "head-technician",
            "An alias has",
        ),
        ({"head__base_bevel_deg": "7"}, "head-base_bevel_deg", "0.00° to 5.00°"),
        ({"head__remarks_1": "a\u202eb"}, "head-remarks_1", "Take out the character"),
        ({"findings__0__surface": "base"}, "findings-0-what", "This is missing."),
        ({"findings__0__what": "other"}, "findings-0-what_text", "Say here what it is."),
        (
            {"findings__0__what": "gouge", "findings__0__depth_mm": "deep"},
            "findings-0-depth_mm",
            "Write one number",
        ),
        (
            {"findings__0__what": "gouge", "findings__0__position_mm": "9999"},
            "findings-0-position_mm",
            "less than or equal to 2600",
        ),
        (
            {"findings__0__what": "gouge", "findings__0__length_mm": "20"},
            "findings-0-__all__",
            "Something is missing in this row.",
        ),
        ({"steps__0__passes": "2"}, "steps-0-operation", "This is missing."),
        (
            {"steps__0__operation": "deburr", "steps__0__wax_class": "cold"},
            "steps-0-wax_class",
            "does not go with",
        ),
        (
            {"steps__0__operation": "wax", "steps__0__operation_text": "more"},
            "steps-0-operation_text",
            "goes with “other” only",
        ),
        (
            {"steps__0__inspected_as": "short_rental", **INSPECTED},
            "steps-0-procedure_text",
            "This is missing.",
        ),
        (
            {"measurements__0__before_1": "1.7"},
            "measurements-0-quantity",
            "Say what was measured.",
        ),
        (
            {**HEIGHT, "measurements__0__before_1": "1.7"},
            "measurements-0-edge",
            "Say which edge.",
        ),
        (
            {**HEIGHT, "measurements__0__after_1": "9"},
            "measurements-0-after_1",
            "0.000 to 3.000",
        ),
        (
            {
                **HEIGHT,
                "measurements__0__after_1": "1",
                "measurements__0__uncertainty": "much",
            },
            "measurements-0-uncertainty",
            "Write one number",
        ),
        ({"profiles__0__points_1": "0 0"}, "profiles-0-points_1", "at least two points"),
        ({"profiles__0__points_0": "9 0; 3 0"}, "profiles-0-points_0", "Sort the points"),
        ({"profiles__0__points_0": "9"}, "profiles-0-points_0", "as place and gap"),
        ({"bevels__0__side_bevel_deg": "45"}, "bevels-0-side_bevel_deg", "80° to 90°"),
        ({"bevels__0__facet_width_mm": "2"}, "bevels-0-__all__", "Something is missing"),
        (
            {"bevels__0__base_bevel_deg": "1", "bevels__0__station_from_mm": "100"},
            "bevels-0-station_to_mm",
            "Give both ends",
        ),
        (
            {
                "bevels__0__base_bevel_deg": "1",
                "bevels__0__station_from_mm": "200",
                "bevels__0__station_to_mm": "100",
            },
            "bevels-0-station_from_mm",
            "the smaller number comes first",
        ),
        (
            {"bevels__0__base_bevel_deg": "1", "bevels__0__moment": "after"},
            "bevels-0-moment",
            "does not go with",
        ),
        ({}, "", "Say at least one thing"),
        ({"head__technician": "t7"}, "", "Say at least one thing"),
    ],
)
def test_at_its_field(
    technician: Client, pair: tuple[str, str], changed: dict[str, str], name: str, said: str
) -> None:
    before = Record.objects.count()
    looked = look(technician, bare(**changed))
    assert looked.status_code == 400
    found = errors_of(looked)
    assert list(found) == [name]
    assert said in found[name]
    assert Record.objects.count() == before
    assert "Nothing was written." in text_of(looked)
    assert not name or name.endswith("__all__") or f'<a href="#id_{name}">' in page_of(looked)
    assert filled(looked).items() >= named(changed).items()


def test_all_that_is_wrong_comes_at_once(technician: Client, pair: tuple[str, str]) -> None:
    values = bare(findings__0__what="other", steps__0__operation="wax", steps__0__passes="x")
    assert list(errors_of(look(technician, values))) == ["steps-0-passes"]
    values["steps-0-passes"] = ""
    assert list(errors_of(look(technician, values))) == ["findings-0-what_text"]


def test_the_same_fault_on_both_skis_is_told_once(
    technician: Client, pair: tuple[str, str]
) -> None:
    looked = look(technician, bare(findings__0__what="other"))
    assert errors_of(looked)["findings-0-what_text"].count("*") == 1


def test_a_fold_with_a_fault_in_it_stands_open(technician: Client, pair: tuple[str, str]) -> None:
    looked = look(technician, bare(findings__0__what="other"))
    row = looked.context["form"].rows["findings"][0]
    assert row.is_open
    assert "<details open>" in looked.content.decode()
    assert not looked.context["form"].rows["steps"][0].is_open


def refusing(monkeypatch: pytest.MonkeyPatch, error: RegistryError) -> None:
    def refuse(**_given: object) -> Any:
        raise error

    monkeypatch.setattr(writing, "write_drafts", refuse)


@pytest.mark.parametrize(
    ("error", "name", "said"),
    [
        (StorageBusy("It is busy."), "", "The node is busy."),
        (WrongState("No <such> thing."), "", '<span lang="en">No &lt;such&gt; thing.</span>'),
        (
            WrongState("It is closed.", pointer="/body/steps/0", submission=1),
            "steps-0-__all__",
            "It is closed.",
        ),
        (
            WrongState("It lies ahead.", pointer="/performed_at", submission=0),
            "head-performed_on",
            "It lies ahead.",
        ),
        (
            InvalidSubmission(
                [FieldError("/body/steps/0/passes", "out-of-range", "")], submission=1
            ),
            "steps-0-passes",
            "outside what is possible",
        ),
        (WrongState("Of a third ski.", pointer="/body", submission=2), "", "Of a third ski."),
    ],
)
def test_what_the_door_refuses_comes_back_too(
    technician: Client,
    pair: tuple[str, str],
    monkeypatch: pytest.MonkeyPatch,
    error: RegistryError,
    name: str,
    said: str,
) -> None:
    looked = look(technician, bare(steps__0__operation="wax"))
    before = Record.objects.count()
    refusing(monkeypatch, error)
    refused = confirm(technician, looked)
    assert refused.status_code == 400
    assert list(errors_of(refused)) == [name]
    assert said in errors_of(refused)[name]
    assert filled(refused)["steps-0-operation"] == "wax"
    assert filled(refused)["once"] == filled(looked)["once"]
    assert Record.objects.count() == before


def test_after_a_refusal_the_same_form_is_written(
    technician: Client, pair: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    looked = look(technician, bare(steps__0__operation="wax"))
    with monkeypatch.context() as patched:
        refusing(patched, StorageBusy("It is busy."))
        confirm(technician, looked)
    assert confirm(technician, looked).status_code == 302


def test_a_shop_that_signs_itself_writes_nothing_here(
    technician: Client, pair: tuple[str, str], shop: Actor
) -> None:
    looked = look(technician, bare(steps__0__operation="wax"))
    assert "keeps its signing key itself" not in text_of(looked)
    KeptKey._default_manager.filter(shop=shop.handle).delete()
    assert "keeps its signing key itself" in text_of(technician.get(PAGE))
    refused = confirm(technician, looked)
    assert refused.status_code == 400
    assert "keeps no signing key" in errors_of(refused)[""]


def test_all_of_both_skis_or_nothing(
    technician: Client, pair: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    looked = look(technician, bare(steps__0__operation="wax"))
    assert [one.tag for one in looked.context["records"]] == [LEFT, OTHER]
    before = Record.objects.count()
    several = Refused(
        [
            WrongState("First.", pointer="/body/steps/0/tool_text", submission=0),
            WrongState("Second.", pointer="/body/steps/0/grit_text", submission=1),
        ]
    )
    refusing(monkeypatch, several)
    assert list(errors_of(confirm(technician, looked))) == [
        "steps-0-tool_text",
        "steps-0-grit_text",
    ]
    assert Record.objects.count() == before


def test_the_page_is_for_the_skis_it_names(technician: Client, pair: tuple[str, str]) -> None:
    assert technician.put(PAGE).status_code == 405


def test_every_sentence_has_its_code() -> None:
    for code, said in SENTENCES.items():
        assert sentence(code, "English.") == str(said)
    assert sentence("something-new", "a & b") == '<span lang="en">a &amp; b</span>'


def test_faults_of_a_record_are_numbered() -> None:
    error = InvalidRecord(FieldError("/body", "nothing-given", ""))
    (fault,) = faults_of(error, 3)
    assert (fault.number, fault.pointer) == (3, "/body")
