"""The simulated ski wears and is ground as geometry says."""

from __future__ import annotations

import pytest
from numpy.random import default_rng

from service_registry.demo.truth import TrueEdge, TrueSki, new_ski


def ski(hollow_mm: float) -> TrueSki:
    edges = TrueEdge(1.7, 2.2), TrueEdge(1.7, 2.2)
    return TrueSki(default_rng(1), *edges, base_mm=1.4, hollow_mm=hollow_mm)


@pytest.mark.parametrize(
    ("depth_mm", "facet_mm"),
    [
        (0.02, 0.854202),  # w - g / tan b with w 2, b 1: derived
        (0.034910, 0.0),  # g = w tan b takes all of it: derived
        (0.05, 0.0),
    ],
)
def test_a_grind_narrows_the_facet(depth_mm: float, facet_mm: float) -> None:
    edge = TrueEdge(1.7, 2.2, base_bevel_deg=1.0, facet_mm=2.0)
    edge.lose_plane(depth_mm)
    assert edge.facet_mm == pytest.approx(facet_mm, abs=1e-4)
    assert edge.height_mm == pytest.approx(1.7 - depth_mm)


def test_an_edge_without_base_bevel_has_no_facet_left_after_a_grind() -> None:
    edge = TrueEdge(1.7, 2.2, base_bevel_deg=0.0)
    edge.lose_plane(0.01)
    assert edge.facet_mm == 0.0


def test_the_stone_takes_the_edges_first_and_the_base_only_below_the_hollow() -> None:
    hollow, flat = ski(0.1), ski(0.0)
    for one, below_mm in ((hollow, 0.1), (flat, 0.0)):
        depth = one.grind(3)
        assert one.left.height_mm == pytest.approx(1.7 - depth)
        assert one.right.height_mm == pytest.approx(1.7 - depth)
        assert one.base_mm == pytest.approx(1.4 - max(0.0, depth - below_mm))


def test_use_wears_the_base_hollow_and_never_touches_the_steel() -> None:
    one = ski(0.02)
    one.use(90, hardness=1.6)
    assert one.hollow_mm > 0.02
    assert one.left.height_mm == 1.7


def test_hard_use_leaves_more_gouges_than_soft_use() -> None:
    soft, hard = ski(0.02), ski(0.02)
    soft.use(2000, hardness=0.2)
    hard.use(2000, hardness=2.0)
    assert len(hard.damage) > len(soft.damage)


def test_no_two_new_skis_are_alike() -> None:
    rng = default_rng(3)
    assert new_ski(rng).left.height_mm != new_ski(rng).left.height_mm
