"""What each operation disturbs; common practice, no source."""

import pytest

from apps.tuning.effects import NO_EFFECT, Effect, effect_of


@pytest.mark.parametrize("operation", ["file_flat", "stone_grind", "belt_grind", "structure"])
def test_grinding_works_the_base_plane_alone(operation: str) -> None:
    assert effect_of(operation) == Effect(base_plane=True)


def test_a_new_edge_disturbs_both_faces() -> None:
    effect = effect_of("replace_edge")
    assert effect.new_edge
    assert effect.base_facet
    assert effect.side
    assert not effect.base_plane


@pytest.mark.parametrize("operation", ["deburr", "polish_edge", "wax", "inspect_binding"])
def test_what_follows_the_faces_disturbs_neither(operation: str) -> None:
    assert effect_of(operation) == NO_EFFECT


@pytest.mark.parametrize("operation", ["scrape_steel", "spot_flatten"])
def test_work_on_a_part_changes_the_shape_and_no_bevel(operation: str) -> None:
    assert effect_of(operation) == Effect(base_shape=True)
