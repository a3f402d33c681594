"""A sentence that keeps its figures is still the text it is."""

import json
from datetime import date

from apps.tuning.told import told


def test_a_sentence_is_its_text_and_keeps_its_figures() -> None:
    sentence = told("case", "The edge was set on 2026-01-03.", edge="left", day=date(2026, 1, 3))
    assert sentence == "The edge was set on 2026-01-03."
    assert json.dumps(sentence) == '"The edge was set on 2026-01-03."'
    assert sentence.case == "case"
    assert dict(sentence.figures) == {"edge": "left", "day": date(2026, 1, 3)}


def test_two_sentences_of_the_same_text_are_the_same() -> None:
    assert len({told("one", "Measure it."), told("other", "Measure it.", edge="left")}) == 1
