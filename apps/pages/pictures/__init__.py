"""Pictures as coordinates, and the words that say the same.

Each function gives a `Picture`: draw it by ``{% picture shown %}`` and list its `rows` beside it.
"""

from apps.pages.pictures.edge_section import edge_section, edge_sections
from apps.pages.pictures.marks import Mark, marks_of
from apps.pages.pictures.material_chart import GoneEdge, material_chart
from apps.pages.pictures.outlook_chart import outlook_chart
from apps.pages.pictures.picture import Picture, Row
from apps.pages.pictures.section_input import SectionInput, section_of
from apps.pages.pictures.ski_map import ski_map
from apps.pages.pictures.ski_shape import SkiShape, WidthRow
from apps.pages.pictures.widths import ski_shape_of

__all__ = [
    "GoneEdge",
    "Mark",
    "Picture",
    "Row",
    "SectionInput",
    "SkiShape",
    "WidthRow",
    "edge_section",
    "edge_sections",
    "marks_of",
    "material_chart",
    "outlook_chart",
    "section_of",
    "ski_map",
    "ski_shape_of",
]
