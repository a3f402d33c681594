"""The pictures of a ski's page, each taken from what the page knows of the ski."""

from __future__ import annotations

from apps.pages.numbers import Unit
from apps.pages.pictures.edge_section import edge_sections
from apps.pages.pictures.marks import Mark, marks_of
from apps.pages.pictures.picture import Picture
from apps.pages.pictures.section_input import section_of
from apps.pages.pictures.ski_map import ski_map
from apps.pages.pictures.widths import ski_shape_of
from apps.registry.sight import Sight
from apps.tuning.history import EDGES, Target


def drawn_edges(sight: Sight, unit: Unit) -> tuple[Picture, Picture]:
    """Draw both edges, with the latest target over them."""
    target = latest_target(sight)
    left, right = (
        section_of(
            sight.condition, edge, practice=sight.practice, visits=sight.visits, target=target
        )
        for edge in EDGES
    )
    return edge_sections(left, right, unit=unit)


def latest_target(sight: Sight) -> Target | None:
    """Give what the latest job with a target was to reach; None where no job has one."""
    targets = (visit.target for visit in reversed(sight.visits) if visit.target is not None)
    return next(targets, None)


def marks_on(sight: Sight) -> tuple[Mark, ...]:
    """Give what was found and mended, in the order in which the map numbers it."""
    return marks_of(sight.condition.open_findings, sight.visits)


def drawn_map(sight: Sight, marks: tuple[Mark, ...]) -> Picture:
    """Draw the ski with what was found and mended along it."""
    return ski_map(ski_shape_of(sight.known, sight.effective), marks)
