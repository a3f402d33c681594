"""The job: filled in, looked at, written, for both skis of a pair at once."""

from __future__ import annotations

import json
from typing import Any

import pytest
from django.test import Client

from apps.pages.bench.job_form import typed_start
from apps.records.reading import document_of, read_document
from apps.registry.actors import Actor
from apps.registry.models import Finding, Job, Member, Record
from tests.pages.bench.pair import CODE, LEFT, OTHER
from tests.pages.bench.sending import PAGE, bare, confirm, errors_of, filled, fresh, look, named
from tests.pages.people import a_person, sitting, text_of
from tests.registry.making import a_ski


def bodies(*, newest: int) -> dict[str, Any]:
    """What the newest records say, by their tags."""
    rows = Record.objects.order_by("-log_index")[:newest]
    documents = [json.loads(bytes(row.document)) for row in rows]
    return {one["ski"]["tag"]: one["body"] for one in documents}


def written(client: Client, values: dict[str, str], address: str = PAGE) -> Any:
    looked = look(client, values, address)
    assert looked.status_code == 200, errors_of(looked)
    return confirm(client, looked, address)


def test_a_reader_writes_no_job(reader: Client, pair: tuple[str, str]) -> None:
    assert reader.get(PAGE).status_code == 403
    assert reader.post(PAGE).status_code == 403


def test_a_fresh_form_is_of_today_and_of_the_visitor(shop: Actor, pair: tuple[str, str]) -> None:
    person = a_person(shop.handle, "technician", "second.one", alias="t7")
    values = fresh(sitting(person))
    assert values["head-technician"] == "t7"
    assert values["measurements-0-quantity"] == "edge_height_mm"
    assert values["measurements-1-edge"] == "right"
    assert values["findings-0-on"] == "both"


def test_a_job_on_both_skis(technician: Client, pair: tuple[str, str]) -> None:
    values = fresh(
        technician,
        head__technician="t7",
        head__base_bevel_deg="0,5",
        head__remarks_1="Tip was loose.",
        findings__0__what="scratch",
        findings__0__on="1",
        findings__0__surface="base",
        steps__0__operation="stone_grind",
        steps__0__passes="2",
        steps__0__base_removed_mm="30 µm",
        steps__1__operation="wax",
        steps__1__wax_class="cold",
        steps__1__iron_temperature_c="120",
        measurements__0__before_0="1,785",
        measurements__0__after_0="1.760",
        measurements__0__before_1="1.790",
        measurements__0__uncertainty="0.02",
        profiles__0__points_0="0 0; 30 40; 62 0",
        bevels__0__base_bevel_deg="0.5",
        bevels__0__side_bevel_deg="88",
    )
    assert "written=" in written(technician, values).headers["Location"]
    found = bodies(newest=2)
    assert set(found) == {LEFT, OTHER}
    left, other = found[LEFT], found[OTHER]
    assert "findings" not in left
    assert other["findings"][0]["where"] == {"surface": "base"}
    assert left["steps"] == other["steps"]
    assert left["steps"][0] == {"operation": "stone_grind", "passes": 2, "base_removed_mm": "0.030"}
    assert [(m.get("moment"), m.get("value")) for m in left["measurements"]] == [
        ("before", "1.785"),
        ("after", "1.760"),
        ("before", None),
    ]
    assert other["measurements"] == [
        {
            "quantity": "edge_height_mm",
            "value": "1.790",
            "edge": "left",
            "uncertainty": "0.020",
            "moment": "before",
        }
    ]
    assert left["bevel_settings"][0]["side_bevel_deg"] == "2.00"
    assert left["target"] == other["target"] == {"base_bevel_deg": "0.50"}
    assert "remarks" not in left
    assert other["remarks"] == "Tip was loose."


def test_a_ski_nothing_is_said_of_gets_no_record(technician: Client, pair: tuple[str, str]) -> None:
    before = Record.objects.count()
    written(technician, bare(steps__0__operation="deburr", steps__0__on="1"))
    assert Record.objects.count() == before + 1
    assert list(bodies(newest=1)) == [OTHER]


def test_one_ski_alone(technician: Client, pair: tuple[str, str]) -> None:
    address = f"{PAGE}?alone=1"
    values = fresh(technician, address, steps__0__operation="wax")
    assert "steps-0-on" not in values
    assert values["alone"] == "1"
    written(technician, values)
    assert list(bodies(newest=1)) == [LEFT]
    assert bodies(newest=2).keys() == {LEFT, OTHER}


def test_a_target_alone_is_worth_a_record(technician: Client, pair: tuple[str, str]) -> None:
    written(technician, bare(head__flatness_tolerance_mm="0.1"))
    assert bodies(newest=2)[OTHER]["target"] == {"flatness_tolerance_mm": "0.100"}


def test_an_earlier_finding_is_mended(technician: Client, pair: tuple[str, str]) -> None:
    earlier = Finding._default_manager.get()
    name = f"earlier-{earlier.record_id}:0-done"
    values = {
        **bare(steps__0__operation="fill_gouge", steps__0__on="0"),
        name: "repaired",
    }
    written(technician, values)
    (found,) = bodies(newest=1)[LEFT]["findings"]
    assert found["closes"] == {"record": earlier.record_id, "index": 0}
    assert (found["what"], found["state"]) == ("gouge", "repaired")
    assert found["where"] == {"surface": "base", "station": "forebody", "position_mm": 1080}
    page = technician.get(f"/bench/{CODE}/{LEFT}")
    assert page.context["open"][0]["findings"] == []


def test_an_inspection_is_a_bare_result(technician: Client, pair: tuple[str, str]) -> None:
    values = bare(
        steps__0__operation="inspect_binding",
        steps__0__outcome="passed",
        steps__0__procedure_text="ISO 11088:2023",
        steps__0__inspected_as="owned_or_long_rental",
    )
    written(technician, values)
    assert bodies(newest=1)[OTHER]["steps"][0]["inspection"] == {
        "procedure_text": "ISO 11088:2023",
        "inspected_as": "owned_or_long_rental",
        "outcome": "passed",
    }


def test_micrometres_of_a_visitor(technician: Client, pair: tuple[str, str]) -> None:
    Member._default_manager.update(unit="um")
    values = fresh(technician, measurements__0__before_0="1785", measurements__4__after_0="1,1 mm")
    written(technician, values)
    assert [m["value"] for m in bodies(newest=1)[LEFT]["measurements"]] == ["1.785", "1.100"]


def test_looking_writes_nothing_and_tells_it_all(technician: Client, pair: tuple[str, str]) -> None:
    before = Record.objects.count()
    values = bare(
        steps__0__operation="wax",
        steps__0__iron_temperature_c="160",
        bevels__0__side_bevel_deg="87",
        head__technician="t7",
    )
    looked = look(technician, values)
    assert Record.objects.count() == before
    assert [one.tag for one in looked.context["records"]] == [LEFT, OTHER]
    said = text_of(looked)
    assert "This is what would be written" in said
    assert "A side bevel of 3.0° is an angle of 87.0°." in said
    assert "hotter than any usual wax asks for" in said
    assert filled(looked)["steps-0-iron_temperature_c"] == "160"


def test_what_was_changed_since_is_looked_at_once_more(
    technician: Client, pair: tuple[str, str]
) -> None:
    before = Record.objects.count()
    looked = look(technician, bare(steps__0__operation="wax"))
    again = confirm(technician, looked, steps__0__operation="brush")
    assert Record.objects.count() == before
    assert "You changed something since you looked." in text_of(again)
    confirm(technician, again)
    assert bodies(newest=1)[OTHER]["steps"] == [{"operation": "brush"}]


def test_writing_unseen_is_looked_at_first(technician: Client, pair: tuple[str, str]) -> None:
    before = Record.objects.count()
    values = bare(steps__0__operation="wax")
    answer = technician.post(PAGE, {**values, "write": "1"})
    assert Record.objects.count() == before
    assert answer.context["records"]
    assert "You changed something" not in text_of(answer)


def test_a_form_that_is_sent_twice_is_written_once(
    technician: Client, pair: tuple[str, str]
) -> None:
    before = Record.objects.count()
    looked = look(technician, bare(steps__0__operation="wax"))
    first, second = confirm(technician, looked), confirm(technician, looked)
    assert first.headers["Location"] == second.headers["Location"]
    assert Record.objects.count() == before + 2
    page = technician.get(first.headers["Location"])
    assert "Written: 2 records." in text_of(page)
    assert f'data-written="{filled(looked)["once"]}"' in page.content.decode()


def test_a_form_that_was_written_does_not_become_another_job(
    technician: Client, pair: tuple[str, str]
) -> None:
    looked = look(technician, bare(steps__0__operation="wax"))
    confirm(technician, looked)
    before = Record.objects.count()
    changed = look(technician, {**filled(looked), **named({"steps__0__operation": "brush"})})
    again = confirm(technician, changed)
    assert again.status_code == 400
    assert "This form was written already" in errors_of(again)[""]
    assert Record.objects.count() == before
    assert filled(again)["once"] != filled(looked)["once"]


@pytest.mark.parametrize("token", ["", "x", "0" * 32])
def test_nothing_is_told_of_forms_that_nobody_wrote(
    technician: Client, pair: tuple[str, str], token: str
) -> None:
    page = technician.get(f"/bench/{CODE}/{LEFT}", {"written": token})
    assert "data-written" not in page.content.decode()


def test_a_token_of_another_form_is_not_taken(technician: Client, pair: tuple[str, str]) -> None:
    values = {**bare(steps__0__operation="wax"), "once": "mine"}
    assert len(filled(look(technician, values))["once"]) == 32


def test_a_row_is_added_and_all_is_kept(technician: Client, pair: tuple[str, str]) -> None:
    values = fresh(
        technician,
        steps__2__operation="wax",
        steps__0__passes="not a number",
        head__technician="t9",
        head__remarks_0="wet\nbase",
    )
    added = technician.post(PAGE, {**values, "add": "steps"})
    assert added.status_code == 200
    assert errors_of(added) == {}
    kept = filled(added)
    assert kept["steps-rows"] == "4"
    assert {name: kept[name] for name in values if name != "steps-rows"} == {
        name: value for name, value in values.items() if name != "steps-rows"
    }
    assert kept["steps-3-operation"] == ""


@pytest.mark.parametrize(
    ("sent", "rows"),
    [
        ("60", 60),
        ("59", 60),
        ("99999", 60),
        ("9" * 5000, 60),
        ("-1", 1),
        ("x", 1),
        ("", 1),
        ("²", 1),
    ],
)
def test_no_more_rows_than_a_record_holds(sent: str, rows: int) -> None:
    start = typed_start({"steps-rows": sent, "steps-0-passes": "2"}, add="steps")
    assert len(start.rows["steps"]) == rows


def test_what_is_no_row_is_left_out() -> None:
    start = typed_start({"steps-rows": "1", "steps-7-passes": "2", "nails-0-what": "3"})
    assert start.rows["steps"] == [{}]


def test_a_plan_is_carried_into_the_form(technician: Client, pair: tuple[str, str]) -> None:
    gouge = f"{Finding._default_manager.get().record_id}:0"
    address = (
        f"{PAGE}?base=0.5&side=88&wax=on&iron=120&flat=0,05&hollow=0.07&repair={gouge}"
        "&now_left_height=1,7&thickness=1"
    )
    values = fresh(technician, address)
    steps = {
        values[f"steps-{number}-operation"]: number for number in range(int(values["steps-rows"]))
    }
    assert values[f"steps-{steps['wax']}-iron_temperature_c"] == "120"
    assert values[f"steps-{steps['fill_gouge']}-on"] == "0"
    assert values[f"steps-{steps['stone_grind']}-on"] == "both"
    assert values["bevels-0-edge"] == "both"
    assert values["bevels-0-side_bevel_deg"] == "2"
    assert values["head-flatness_tolerance_mm"] == "0,05"
    assert values["measurements-0-before_0"] == "1,7"
    assert values["measurements-4-before_0"] == "1"
    assert values[f"earlier-{gouge}-done"] == "repaired"
    written(technician, values)
    assert bodies(newest=2)[LEFT]["findings"][0]["state"] == "repaired"


def test_a_plan_edge_by_edge(technician: Client, pair: tuple[str, str]) -> None:
    values = fresh(technician, f"{PAGE}?base_left=0.5&base_right=1")
    assert [values[f"bevels-{n}-edge"] for n in (0, 1)] == ["left", "right"]
    assert [values[f"bevels-{n}-base_bevel_deg"] for n in (0, 1)] == ["0.5", "1"]
    assert values["head-base_bevel_deg"] == ""


def test_a_plan_of_one_edge(technician: Client, pair: tuple[str, str]) -> None:
    values = fresh(technician, f"{PAGE}?side_right=87")
    assert (values["bevels-0-edge"], values["bevels-0-side_bevel_deg"]) == ("right", "3")
    assert values["bevels-rows"] == "1"


def test_a_plan_that_must_be_mended_leaves_a_fresh_form(
    technician: Client, pair: tuple[str, str]
) -> None:
    assert fresh(technician, f"{PAGE}?base=steep")["bevels-0-base_bevel_deg"] == ""


def test_a_ski_of_another_shop(technician: Client, shop: Actor) -> None:
    from tests.registry.making import a_shop

    a_ski(a_shop("brindle-bench"), tag="BB-1")
    address = "/bench/brindle-bench/BB-1/job"
    written(technician, fresh(technician, address, steps__0__operation="wax"), address)
    newest = Record.objects.order_by("-log_index")[0]
    record = document_of(read_document(json.loads(bytes(newest.document))))
    assert record["author"] == shop.handle
    assert record["ski"]["tag"] == "BB-1"
    assert Job._default_manager.filter(author=shop.handle).count() == 1


def test_enter_in_a_field_only_looks(technician: Client, pair: tuple[str, str]) -> None:
    looked = look(technician, bare(steps__0__operation="wax"))
    form = looked.content.decode().partition("data-job")[2]
    first = form[form.index("<button") :].partition(">")[0]
    assert 'name="look"' in first


def test_rows_are_called_by_what_they_hold(technician: Client, pair: tuple[str, str]) -> None:
    page = technician.get(PAGE).content.decode()
    assert "<legend>Step 3</legend>" in page
    assert "<legend>Reading __number__</legend>" in page
