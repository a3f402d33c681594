"""The plan: what is asked stands in its address, and the answer in whole sentences."""

from __future__ import annotations

from typing import Any

import pytest
from django.http import QueryDict
from django.test import Client

from apps.registry.actors import Actor
from apps.registry.models import Finding, Member, Record
from apps.tuning.plan import Plan
from tests.pages.bench.pair import CODE, LEFT, OTHER
from tests.pages.people import text_of
from tests.registry.making import a_ski

PAGE = f"/bench/{CODE}/{LEFT}/plan"
WISH = {"base": "0,5", "side": "88", "flat": "0.05", "structure": "on", "wax": "on"}


def ask(client: Client, **wish: Any) -> Any:
    return client.get(PAGE, wish)


def gouge() -> str:
    record = Finding._default_manager.get().record_id
    return f"{record}:0"


def errors_of(page: Any) -> dict[str, str]:
    return {name: errors.as_text() for name, errors in page.context["form"].errors.items()}


def test_an_empty_form_asks_for_nothing(technician: Client, pair: tuple[str, str]) -> None:
    page = ask(technician)
    assert page.status_code == 200
    assert page.context["answer"] is None
    assert "Say what the tune is to reach" in text_of(page)


def test_the_shops_usual_tune_is_one_tap_away(technician: Client, pair: tuple[str, str]) -> None:
    page = ask(technician)
    assert f"{PAGE}?base=1&amp;side=2&amp;wax=on" in page.content.decode()
    assert "base 1.0°, side 2.0°, wax" in text_of(page)


def test_a_tune_is_answered(technician: Client, pair: tuple[str, str]) -> None:
    page = ask(technician, **WISH, hollow="0.02")
    answer = page.context["answer"]
    operations = [step.operation for step in answer.steps]
    assert operations[:2] == ["clean", "stone grind"]
    assert operations[-1] == "brush"
    assert {part.label for part in answer.spent} >= {"edge height, both edges", "base"}
    rows = {row.label: (row.before, row.after) for row in answer.state}
    assert rows["base bevel, left edge"][0] == "1.0°, stands"
    assert rows["base bevel, left edge"][1].startswith("0.5°, ")
    assert rows["side bevel, left edge"] == ("2.0°, stands", "2.0°, stands")
    said = text_of(page)
    for heading in ("Taken off in all", "Steps", "Before and after", "Cheaper ways", "Mind"):
        assert heading in said


def test_a_side_is_said_back_both_ways(technician: Client, pair: tuple[str, str]) -> None:
    assert "A side bevel of 2.0° is an angle of 88.0°." in text_of(ask(technician, side="88"))
    assert "A side bevel of 1.5° is an angle of 88.5°." in text_of(ask(technician, side="1,5"))


def test_an_edge_of_its_own_counts_before_both(technician: Client, pair: tuple[str, str]) -> None:
    page = ask(technician, base="1", base_left="0.5", side_right="87")
    targets = page.context["form"].asked().targets
    assert (targets.left.base_bevel_deg, targets.left.side_bevel_deg) == (0.5, None)
    assert (targets.right.base_bevel_deg, targets.right.side_bevel_deg) == (1.0, 3.0)
    assert "<details open><summary>Left and right differ" in page.content.decode()


def test_what_was_measured_counts_before_the_history(
    technician: Client, pair: tuple[str, str]
) -> None:
    page = ask(
        technician, side="88", now_left_height="0,7", within_mm="20 µm", now_right_base="0.7"
    )
    rows = {row.label: row.before for row in page.context["answer"].state}
    assert rows["edge height, left edge"].startswith("0.70\u202fmm (0.68 to 0.72")
    assert rows["base bevel, right edge"].startswith("0.7°")


def test_micrometres_where_the_visitor_has_them(technician: Client, pair: tuple[str, str]) -> None:
    Member._default_manager.update(unit="um")
    page = ask(technician, base="1", flat="50", hollow="70")
    asked = page.context["form"].asked()
    assert asked.flatness_tolerance_mm == 0.05
    assert asked.assumed.concavity_mm == 0.07
    assert "µm" in page.context["answer"].spent[0].usual


@pytest.mark.parametrize("way", ["repair", "grind"])
def test_open_findings_are_mended_or_ground_out(
    technician: Client, pair: tuple[str, str], way: str
) -> None:
    page = ask(technician, **{way: gouge()})
    operations = [step.operation for step in page.context["answer"].steps]
    assert ("fill the gouge" in operations) is (way == "repair")
    assert ("stone grind" in operations) is (way == "grind")


def test_what_is_not_feasible_says_why(technician: Client, pair: tuple[str, str]) -> None:
    page = ask(
        technician, base="0.5", now_left_height="0.81", now_right_height="0.81", within_mm="0.001"
    )
    answer = page.context["answer"]
    assert answer.outcome == "not feasible" or "can't" in answer.verdict[0]
    assert len(answer.verdict) > 1


def test_an_undecided_plan_says_what_to_measure(technician: Client, shop: Actor) -> None:
    a_ski(shop, tag="VH-7")
    page = technician.get(f"/bench/{CODE}/VH-7/plan", {"base": "0.5", "flat": "0.1"})
    assert page.context["answer"].measure_first
    assert "Measure first" in text_of(page)


@pytest.mark.parametrize(
    ("wish", "name", "said"),
    [
        ({"base": "steep"}, "base", "Write one number"),
        ({"base": "6"}, "base", "0.00° to 5.00°"),
        ({"side": "45"}, "side", "an angle of 80° to 90°"),
        ({"flat": "0.05", "spot": "on"}, "spot", "choose one"),
        ({"hollow": "0.05", "crown": "0.05"}, "crown", "give one"),
        ({"iron": "40"}, "iron", "greater than or equal to 60"),
        ({"now_left_facet": "0"}, "now_left_facet", "more than nothing"),
        ({"now_right_height": "0"}, "now_right_height", "more than nothing"),
        ({"repair": "f" * 64 + ":0"}, "repair", "no longer open"),
        ({"grind": "nothing"}, "grind", "no longer open"),
        ({"plane": "axe"}, "plane", "Select a valid choice"),
    ],
)
def test_faults_come_back_at_their_fields(
    technician: Client, pair: tuple[str, str], wish: dict[str, str], name: str, said: str
) -> None:
    page = ask(technician, **wish)
    assert page.status_code == 400
    assert list(errors_of(page)) == [name]
    assert said in errors_of(page)[name]
    assert page.context["answer"] is None
    assert f'<a href="#id_{name}' in page.content.decode()


def test_a_finding_is_not_mended_and_ground_out(technician: Client, pair: tuple[str, str]) -> None:
    page = ask(technician, repair=gouge(), grind=gouge())
    assert "choose one" in errors_of(page)["grind"]


def test_what_only_the_arithmetic_refuses_is_said(
    technician: Client, pair: tuple[str, str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from apps.pages.bench import plan_views
    from apps.tuning.errors import OutOfRangeError

    def refuse(*_args: object) -> Plan:
        raise OutOfRangeError("It is <too> much.", field="base")

    monkeypatch.setattr(plan_views, "plan_tune", refuse)
    page = ask(technician, base="1")
    assert page.status_code == 400
    assert '<span lang="en">It is &lt;too&gt; much.</span>' in page.content.decode()


def test_the_part_for_scripts_is_the_same_answer(technician: Client, pair: tuple[str, str]) -> None:
    whole, part = ask(technician, **WISH), ask(technician, **WISH, part="answer")
    answer = part.content.decode().replace("part=answer&amp;", "").replace("&amp;part=answer", "")
    assert answer.strip() in whole.content.decode()
    assert "<html" not in answer
    wrong = ask(technician, base="0,", part="answer")
    assert wrong.status_code == 200
    assert "Base bevel, both edges: Write an angle" in text_of(wrong)


def test_the_plan_leads_to_its_job_and_to_the_other_ski(
    technician: Client, reader: Client, pair: tuple[str, str]
) -> None:
    page = ask(technician, base="0.5", wax="on").content.decode()
    assert f"/bench/{CODE}/{LEFT}/job?base=0.5&amp;wax=on" in page
    assert f"/bench/{CODE}/{OTHER}/plan?base=0.5&amp;wax=on" in page
    assert "/job?" not in ask(reader, base="0.5", wax="on").content.decode()


def test_planning_writes_nothing(technician: Client, pair: tuple[str, str]) -> None:
    before = Record.objects.count()
    ask(technician, **WISH)
    assert Record.objects.count() == before


@pytest.mark.parametrize(
    ("wish", "code", "changed"),
    [
        ({"flat": "0,02", "hollow": "0.2"}, "wider_tolerance", {"flat": ["0.1 mm"]}),
        ({"flat": "0,02", "hollow": "0.2"}, "spot_flatten", {"spot": ["on"]}),
        ({"grind": "gouge"}, "fill_gouges", {"repair": ["gouge"]}),
    ],
)
def test_a_cheaper_way_is_one_tap_away(
    technician: Client,
    pair: tuple[str, str],
    wish: dict[str, str],
    code: str,
    changed: dict[str, list[str]],
) -> None:
    asked = {name: gouge() if text == "gouge" else text for name, text in wish.items()}
    ways = {option.code: query for option, query in ask(technician, **asked).context["options"]}
    query = QueryDict(ways[code])
    wanted = {name: [gouge()] if found == ["gouge"] else found for name, found in changed.items()}
    assert {name: query.getlist(name) for name in wanted} == wanted
    assert "grind" not in query
    again = technician.get(f"{PAGE}?{ways[code]}")
    assert again.status_code == 200
    assert again.context["answer"] is not None


def test_a_way_that_hangs_on_more_has_no_address(technician: Client, pair: tuple[str, str]) -> None:
    page = ask(technician, **WISH, hollow="0.2")
    assert {one.code: query for one, query in page.context["options"]}["bevels_only"] == ""


def test_a_name_that_no_field_has_is_refused(technician: Client, pair: tuple[str, str]) -> None:
    page = ask(technician, base="0.5", base_everywhere="1")
    assert page.status_code == 400
    assert "There is no field called “base_everywhere” here." in text_of(page)
