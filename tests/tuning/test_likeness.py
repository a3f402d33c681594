"""Likeness: models are told apart, misspellings are not, and every part says why."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rapidfuzz import fuzz

from apps.tuning.errors import WrongCountError
from apps.tuning.likeness import (
    BANDS,
    Likeness,
    Part,
    SkiDescribed,
    how_like,
    summed_up,
    why_like,
)
from apps.tuning.model_text import (
    ModelText,
    maker_likeness,
    model_likeness,
    model_text,
    search_keys,
)
from apps.tuning.usual_ranges import USUAL_RANGES, usual_ranges

ASKED = SkiDescribed(
    model_text("Corvid", "Scree 84"), 2019, 1720, "sandwich", "piste", waist_mm=84.0
)
TEXT = st.text(st.characters(codec="utf-8"), max_size=30)


@pytest.mark.parametrize(
    ("maker", "model", "expected"),
    [
        # Own data; what a bench may write for one and the same ski.
        ("Corvid", "Scree 84", "corvid/scree 84"),
        ("CORVID", "Corvid Scree-84", "corvid/scree 84"),
        ("Córvid", "Scrée84", "corvid/scree 84"),
        (None, "Scree 84 172cm", "/scree 84"),
        (None, "Scree 84 172 cm 2019", "/scree 84"),
        (None, "Scree 84 skis", "/scree 84"),
        ("Corvid", "Corvid", "corvid/corvid"),
        (None, "\uff27\uff33\u3000Straße", "/gs strasse"),
        ("Corvid", None, "corvid/"),
        (None, "—", "/"),
        (None, None, "/"),
    ],
)
def test_texts_are_made_comparable(maker: str | None, model: str | None, expected: str) -> None:
    text = model_text(maker, model)
    assert text.key == expected
    assert ModelText.of_key(text.key) == text


@given(maker=TEXT, model=TEXT)
@settings(max_examples=80, deadline=None)
def test_any_text_becomes_a_key_that_can_be_taken_apart(maker: str, model: str) -> None:
    text = model_text(maker, model)
    assert ModelText.of_key(text.key) == text
    assert len(text.key) <= 241
    assert bool(search_keys(text)) == bool(text.model)


# Own data: pairs of model texts that a bench would call one model, or two.
SAME = [
    (("Corvid", "Scree 84"), (None, "Corvid Scree 84")),
    (("Corvid", "Scree 84"), ("Corvid", "Skree 84")),
    (("Corvid", "Scree 84"), ("Corvid", "Sreee 84")),
    ((None, "Moonwash GS"), (None, "Moon Wash GS")),
    ((None, "GS Moonwash"), (None, "Moonwash GS")),
    ((None, "SL 12"), (None, "sl12")),
    (("Corvid", "Scree"), ("Corvid", "Scree 84")),
]
APART = [
    (("Corvid", "Scree 84"), ("Corvid", "Scree 94")),
    (("Corvid", "Scree 84"), ("Corvid", "Moraine 84")),
    ((None, "Corvid Scree"), (None, "Corvid Moraine")),
    ((None, "World Cup SL"), (None, "World Cup GS")),
    ((None, "SL 12"), (None, "SL 14")),
    ((None, "Scree"), (None, "84")),
    (("Corvid", None), ("Corvid", "Scree")),
]


@pytest.mark.parametrize(("first", "second"), SAME)
def test_one_model_however_it_is_written(first: Any, second: Any) -> None:
    one, other = model_text(*first), model_text(*second)
    assert model_likeness(one, other) == model_likeness(other, one) >= 0.72
    assert search_keys(one) & search_keys(other), "An index would not bring the two together."


@pytest.mark.parametrize(("first", "second"), APART)
def test_two_models_are_told_apart(first: Any, second: Any) -> None:
    one, other = model_text(*first), model_text(*second)
    assert model_likeness(one, other) == model_likeness(other, one) < 0.72


def test_long_words_are_compared_as_the_library_does() -> None:
    # Reference: RapidFuzz, token_sort_ratio and token_set_ratio; normalised Indel similarity of
    # "skree" and "scree" is 1 - 2 / 10.
    found = model_likeness(model_text(None, "Skree"), model_text(None, "Scree"))
    by_library = fuzz.token_sort_ratio("skree", "scree") + fuzz.token_set_ratio("skree", "scree")
    assert found == pytest.approx(by_library / 200) == pytest.approx(0.8)
    part = model_likeness(model_text(None, "Scree"), model_text(None, "Scree Alpha"))
    assert part == pytest.approx((fuzz.ratio("scree", "alpha scree") + 100) / 200)


@given(model=st.text("abcdefgh 123", min_size=1, max_size=20))
@settings(max_examples=60, deadline=None)
def test_a_text_is_like_itself(model: str) -> None:
    text = model_text(None, model)
    assert model_likeness(text, text) == (1.0 if text.model else 0.0)


def test_makers_are_compared_apart() -> None:
    one, other = model_text("Corvid", "Scree"), model_text("Korvid", "Scree")
    assert maker_likeness(one, other) == pytest.approx(fuzz.ratio("corvid", "korvid") / 100)


def test_the_same_ski_is_alike_to_one() -> None:
    found = how_like(ASKED, ASKED)
    assert (found.score, found.band) == (1.0, 0)
    assert [part.name for part in found.parts] == [
        "model",
        "maker",
        "year",
        "length",
        "construction",
        "use",
        "waist",
    ]
    assert found.sentence.startswith("Alike to 1.00. Model text the same.")


# Own data: what is changed, the part it shows in, its score and sentence.
CHANGES: list[tuple[dict[str, Any], str, float, str]] = [
    ({"year": 2017}, "year", 0.75, "Year at most 2 years apart."),
    ({"year": 2018}, "year", 0.875, "Year at most 1 year apart."),
    ({"year": 1990}, "year", 0.0, "Year at most 29 years apart."),
    ({"year": None}, "year", 0.5, "Year not known."),
    ({"length_mm": 1770}, "length", 0.75, "Length at most 50 mm apart."),
    ({"length_mm": 1780}, "length", 0.7, "Length at most 100 mm apart."),
    ({"construction": "cap"}, "construction", 0.0, "Construction the same or another."),
    ({"construction": "other"}, "construction", 0.5, "Construction not known."),
    ({"use": "rental"}, "use", 0.5, "Use the same or a neighbouring one."),
    ({"use": "touring"}, "use", 0.0, "Use the same or another."),
    ({"use": None}, "use", 0.5, "Use not known."),
    ({"waist_mm": 81.0}, "waist", 0.8, "Waist at most 5 mm apart."),
    (
        {"text": model_text("Corvid", "Skree 84")},
        "model",
        0.8,
        "Model text alike to 0.80 or better.",
    ),
    ({"text": model_text(None, "Scree 84")}, "maker", 0.5, "Maker not known."),
]


@pytest.mark.parametrize(("change", "name", "score", "sentence"), CHANGES)
def test_each_part_says_why(change: dict[str, Any], name: str, score: float, sentence: str) -> None:
    found = how_like(ASKED, replace(ASKED, **change))
    (part,) = (part for part in found.parts if part.name == name)
    assert part.score == pytest.approx(score)
    assert part.sentence == sentence
    weights = sum(one.weight for one in found.parts)
    expected = score if name == "model" else 1 - part.weight * (1 - score) / weights
    assert found.score == pytest.approx(expected)


def test_what_is_not_known_of_the_asked_ski_is_not_compared() -> None:
    bare = SkiDescribed(model_text(None, "Scree 84"))
    assert [part.name for part in how_like(bare, ASKED).parts] == ["model"]
    assert [part.name for part in how_like(replace(bare, use="other"), ASKED).parts] == ["model"]


@pytest.mark.parametrize(
    "text",
    [model_text("Corvid", "Scree 94"), model_text("Lapwing", "Scree 84"), model_text("", "")],
)
def test_another_model_or_maker_is_not_like_it(text: ModelText) -> None:
    found = how_like(ASKED, replace(ASKED, text=text))
    assert (found.score, found.band) == (0.0, None)


def test_bands_are_by_score() -> None:
    scores = [least for _, least in BANDS]
    assert [Likeness(score, ()).band for score in scores] == [0, 1, 2]
    assert Likeness(scores[-1] - 0.01, ()).band is None


@given(
    year=st.none() | st.integers(1930, 2100),
    length_mm=st.none() | st.integers(300, 2600),
    use=st.sampled_from([None, "piste", "rental", "nordic", "other"]),
    waist_mm=st.none() | st.floats(30, 250),
)
@settings(max_examples=80, deadline=None)
def test_a_score_lies_between_nothing_and_one(**known: Any) -> None:
    other = replace(ASKED, **known)
    assert 0.0 <= how_like(ASKED, other).score <= 1.0
    assert how_like(other, other).score == 1.0


def test_several_skis_are_summed_up_by_the_least_like() -> None:
    others = [replace(ASKED, **change) for change, *_ in CHANGES[:4]]
    why = why_like([how_like(ASKED, other) for other in others])
    assert why[2] == "Year at most 29 years apart, or not known."
    assert why[3] == "Length the same."
    assert why_like([]) == ()


def test_the_sum_of_no_part_is_refused() -> None:
    with pytest.raises(WrongCountError):
        summed_up([])


def test_a_part_not_known_of_any() -> None:
    unknown = Part("length", 1.5, 0.5, known=False)
    assert summed_up([unknown, unknown]) == "Length not known."


# Common practice, no source.
USUAL = [
    ("piste", 2019, "recreational", (0.5, 1.5, 1.0, 2.0)),
    ("all_mountain", None, "recreational", (0.5, 1.5, 1.0, 2.0)),
    ("race_giant", None, "giant_slalom_racing", (0.5, 1.0, 1.0, 3.0)),
    ("race_slalom", None, "slalom_racing", (0.3, 1.0, 1.0, 3.0)),
    ("rental", None, "rental", (1.0, 1.0, 1.0, 2.0)),
    ("park", None, "park", (2.0, 3.0, None, None)),
    ("piste", 1988, "older_straight", (0.0, 1.0, 0.0, 1.0)),
    (None, 1988, "older_straight", (0.0, 1.0, 0.0, 1.0)),
]


@pytest.mark.parametrize(("use", "year", "kind", "expected"), USUAL)
def test_usual_ranges_are_practice(
    use: str | None, year: int | None, kind: str, expected: tuple[float | None, ...]
) -> None:
    (row,) = usual_ranges(use, year)
    assert (row.kind, row.basis) == (kind, "practice")
    limits = (row.base_low_deg, row.base_high_deg, row.side_low_deg, row.side_high_deg)
    assert limits == expected


def test_without_a_use_all_are_shown_and_for_some_uses_none_is_known() -> None:
    assert usual_ranges(None, None) == USUAL_RANGES
    assert usual_ranges("nordic", 2019) == ()
