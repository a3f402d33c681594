"""The cross-section of one edge: lengths to scale, and beside it the bevels drawn steeper."""

from __future__ import annotations

from django.utils.translation import gettext as _

from apps.pages.numbers import Unit
from apps.pages.pictures.edge_rows import edge_rows
from apps.pages.pictures.edge_shape import EdgeShape, slopes_for
from apps.pages.pictures.edge_views import HEIGHT, WIDTH, steep_view, true_view
from apps.pages.pictures.picture import Picture
from apps.pages.pictures.section_input import SectionInput

PLACEHOLDER_MM = 2.0
"""Size of an outline whose size nobody knows; it is dotted and bears a question mark."""


def edge_section(section: SectionInput, *, unit: Unit = "mm", slopes: int | None = None) -> Picture:
    """Draw the cross-section of one edge, seen from the tail with the ski on its base.

    Parameters
    ----------
    section : SectionInput
        The edge; `section_of` takes it from a condition.
    unit : {"mm", "um"}
        In which lengths are written.
    slopes : int, optional
        How many times as steep the bevels of the second view are drawn; the most that leaves
        the edge an edge if left out. `edge_sections` gives both edges the same.

    Returns
    -------
    Picture
        The first view is to scale in every way. The second has the same lengths and steeper
        bevels, since half a degree on 2 mm of steel is 17 micrometres. What nobody knows is
        dotted and bears a question mark.
    """
    shape = shape_of(section)
    chosen = slopes_for(shape) if slopes is None else slopes
    return Picture(
        f"edge-{section.bevels.edge}",
        WIDTH,
        HEIGHT,
        _title(section),
        _says(section, chosen),
        (*true_view(section, shape, chosen, unit), *steep_view(section, shape, chosen, unit)),
        edge_rows(section, shape, slopes=chosen, unit=unit),
    )


def edge_sections(
    left: SectionInput, right: SectionInput, *, unit: Unit = "mm"
) -> tuple[Picture, Picture]:
    """Draw both edges with bevels that are drawn equally steep, so that they can be compared."""
    slopes = slopes_for(shape_of(left), shape_of(right))
    return (
        edge_section(left, unit=unit, slopes=slopes),
        edge_section(right, unit=unit, slopes=slopes),
    )


def shape_of(section: SectionInput) -> EdgeShape:
    """The corners of an edge, with a placeholder for every size that nobody knows."""
    return EdgeShape(
        PLACEHOLDER_MM if section.height is None else section.height.value_mm,
        PLACEHOLDER_MM if section.width is None else section.width.value_mm,
        section.base_bevel_deg or 0.0,
        section.side_bevel_deg or 0.0,
        0.0 if section.facet is None else section.facet.value_mm,
    )


def _title(section: SectionInput) -> str:
    if section.bevels.edge == "left":
        return _("Cross-section of the left edge")
    return _("Cross-section of the right edge")


def _says(section: SectionInput, slopes: int) -> str:
    said = [_("Seen from the tail, the ski on its base.")]
    if section.is_sized:
        said.append(_("The first view is to scale, and the second has the same lengths."))
    if slopes > 1 and not section.has_no_bevel:
        steep = _("In the second view the bevels are drawn %(times)d times as steep.")
        said.append(steep % {"times": slopes})
    if not section.is_whole:
        said.append(_("What nobody knows is dotted and bears a question mark."))
    return " ".join(said)
