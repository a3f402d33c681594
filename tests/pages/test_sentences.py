"""Every case that the arithmetic tells has a sentence of the pages, filled in, in each language."""

from __future__ import annotations

import re
from datetime import date

import pytest
from django.utils import translation
from pytest_django.fixtures import Settings

from apps.pages.sentences import UnknownCase, caution_sentence, tell
from apps.pages.sentences.cautions import CAUTIONS
from apps.pages.sentences.shown import shown
from apps.pages.sentences.told import CASES
from apps.tuning import cautions
from apps.tuning.told import Figure, Sentence, told
from tests.pages.told_cases import told_cases

PLACEHOLDER = re.compile(r"%\((\w+)\)s")
HEADINGS = {"material", "pair_quantity", "face"}
IRON = {one.code for one in cautions.iron_cautions(250.0)}
FIGURES: dict[str, Figure] = {
    "material": "edge_height",
    "pair_quantity": "base_thickness",
    "face": "side",
    "edge": "left",
    "station": "waist",
    "position_mm": None,
    "unit": "mm",
    "finding": "rust",
    "moment": "before",
    "record_kind": "job",
    "count": 3,
    "used_days": 9,
    "index": 0,
    "shops": "one@hill.example, two@hill.example",
    "difference": 0.25,
    "expanded": 0.05,
    "tolerance": 0.15,
}
TOLD = told_cases()
EVERY = [(case, names) for case, places in TOLD.items() for names in places]


def figure(name: str) -> Figure:
    if name in FIGURES:
        return FIGURES[name]
    if name.endswith("day"):
        return date(2026, 1, 3)
    return 0.5 if name.endswith(("_mm", "_deg")) else f"the {name}"


def made(case: str, names: set[str]) -> Sentence:
    return told(case, "in English", **{name: figure(name) for name in names})


def sources(case: str) -> list[str]:
    """The English text, of a plural both forms."""
    template = CASES[case]
    kwargs = getattr(template, "_kw", None) or {}
    plurals = [kwargs.get("singular", ""), kwargs.get("plural", "")]
    return plurals if any(plurals) else [str(template)]


def test_every_case_of_the_arithmetic_has_a_sentence_and_no_other() -> None:
    assert set(CASES) == set(TOLD)


def test_a_sentence_asks_only_for_figures_that_are_there() -> None:
    for case, names in EVERY:
        there = names | ({"where"} if names & HEADINGS else set())
        for source in sources(case):
            assert set(PLACEHOLDER.findall(source)) <= there, case


@pytest.mark.parametrize("language", ["en", "de", "fr"])
def test_a_sentence_is_told_whole(language: str) -> None:
    with translation.override(language):
        for case, names in EVERY:
            sentence = tell(made(case, names))
            assert sentence[0].isupper() or sentence[0].isdigit(), case
            assert sentence[-1] == ".", case
            assert "%" not in sentence, case


@pytest.mark.parametrize("language", ["de", "fr"])
def test_a_sentence_is_told_otherwise_in_another_language(language: str) -> None:
    for case, names in EVERY:
        english = tell(made(case, names))
        with translation.override(language):
            assert tell(made(case, names)) != english, case


def test_a_case_nobody_tells_is_refused() -> None:
    with pytest.raises(UnknownCase, match="no-such-case"):
        tell(told("no-such-case", "Something."))


def test_figures_follow_the_unit_and_the_locale() -> None:
    figures: dict[str, Figure] = {"left_mm": 1.7425, "base_deg": 0.5, "day": date(2026, 1, 3)}
    with translation.override("de"):
        german = shown(figures, "um")
    assert german["left_mm"] == "1742\u202fµm"
    assert german["base_deg"] == "0,5°"
    assert german["day"] == "3. Januar 2026"
    assert shown(figures)["left_mm"] == "1.742\u202fmm"


@pytest.mark.parametrize(
    ("figures", "where"),
    [
        ({"material": "edge_height", "edge": "left", "station": "waist"}, "left edge, waist"),
        ({"material": "base_thickness", "edge": None, "station": None}, "base thickness"),
        ({"face": "side", "edge": "right", "position_mm": 900}, "900 mm from the tail"),
    ],
)
def test_a_place_is_named_as_a_heading(figures: dict[str, Figure], where: str) -> None:
    assert str(shown(figures)["where"]).endswith(where)


def test_a_difference_is_in_the_unit_of_what_is_compared() -> None:
    assert shown({"difference": 2.0, "unit": "d"})["difference"] == "2 days"
    assert shown({"difference": 1.0, "unit": "d"})["difference"] == "1 day"
    assert shown({"tolerance": 0.5, "unit": "m"})["tolerance"] == "0.5\u202fm"
    assert shown({"tolerance": 0.5, "unit": "deg"})["tolerance"] == "0.5°"


def test_shops_of_this_node_are_named_by_their_code(settings: Settings) -> None:
    own = f"bench@{settings.NODE_HOST}"
    assert shown({"shops": f"{own}, two@hill.example"})["shops"] == "bench, two@hill.example"


def test_every_caution_has_a_sentence() -> None:
    assert set(CAUTIONS) == {*cautions.CAUTIONS, *IRON}
    assert caution_sentence("sharp-edges").startswith("Edges cut")


def test_a_plural_takes_the_form_of_its_count() -> None:
    once = told("several-corrections", "", day=date(2026, 1, 3), count=1)
    twice = told("several-corrections", "", day=date(2026, 1, 3), count=2)
    assert "1 time;" in tell(once)
    assert "2 times;" in tell(twice)
