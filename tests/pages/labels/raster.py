"""Reads a drawn sheet back as a printer would put it on paper, from the SVG's text alone."""

from __future__ import annotations

import re
from dataclasses import dataclass
from xml.etree import ElementTree

import numpy as np
from numpy.typing import NDArray

DOTS_A_MM = 12  # about 300 dots an inch
_RUN = re.compile(r"M(\d+) (\d+)h(\d+)v1h-(\d+)z")
_PAIR = re.compile(r"translate\(([-\d.]+) ([-\d.]+)\)")
_SCALE = re.compile(r"scale\(([\d.]+)\)")
SVG = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True, slots=True)
class Box:
    """A dark rectangle on the paper [mm]."""

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float


def sheets_in(page: str) -> list[ElementTree.Element]:
    """The sheets of a page."""
    found = re.findall(r'<svg class="sheet".*?</svg>', page, re.DOTALL)
    return [ElementTree.fromstring(one) for one in found]  # noqa: S314 - our own page


def boxes_of(label: ElementTree.Element) -> list[Box]:
    """The dark modules of a label's code, on the sheet."""
    x_mm, y_mm = _moved(label)
    path = label.find(f"{SVG}path")
    assert path is not None
    code_x, code_y = _moved(path)
    scale = _SCALE.search(path.attrib["transform"])
    assert scale is not None
    module_mm = float(scale[1])
    return [
        Box(
            x_mm + code_x + x * module_mm,
            y_mm + code_y + y * module_mm,
            width * module_mm,
            module_mm,
        )
        for x, y, width in runs_of(path.attrib["d"])
    ]


def runs_of(path: str) -> list[tuple[int, int, int]]:
    """The dark runs of a code: column, row, length, in modules."""
    runs = [tuple(int(part) for part in run) for run in _RUN.findall(path)]
    assert "".join(f"M{x} {y}h{width}v1h-{back}z" for x, y, width, back in runs) == path
    return [(x, y, width) for x, y, width, _back in runs]


def labels_of(sheet: ElementTree.Element) -> list[ElementTree.Element]:
    """The labels of a sheet."""
    return sheet.findall(f"{SVG}g")


def _moved(element: ElementTree.Element) -> tuple[float, float]:
    found = _PAIR.search(element.attrib["transform"])
    assert found is not None
    return float(found[1]), float(found[2])


def paper(sheet: ElementTree.Element) -> NDArray[np.uint8]:
    """A sheet with its codes in black, a byte a dot; letters are left out."""
    _x, _y, width, height = (float(part) for part in sheet.attrib["viewBox"].split())
    boxes = [box for label in labels_of(sheet) for box in boxes_of(label)]
    return inked(boxes, width, height)


def inked(
    boxes: list[Box], width: float, height: float, dots: int = DOTS_A_MM
) -> NDArray[np.uint8]:
    """Dark boxes on white, a byte a dot."""
    ground = np.full((round(height * dots), round(width * dots)), 255, dtype=np.uint8)
    for box in boxes:
        top, bottom = (round(y * dots) for y in (box.y_mm, box.y_mm + box.height_mm))
        left, right = (round(x * dots) for x in (box.x_mm, box.x_mm + box.width_mm))
        ground[top:bottom, left:right] = 0
    return ground
