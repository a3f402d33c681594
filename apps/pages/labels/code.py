"""The two-dimensional code on a label, as a square of dark and light modules (ISO/IEC 18004)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import segno

# ISO/IEC 18004 asks for four light modules on each side of a code.
QUIET_MODULES = 4
# Below this a hand-held camera loses modules on a scratched label; common practice, no source.
LEAST_MODULE_UM = 330
LEVELS = ("Q", "M")


@dataclass(frozen=True, slots=True)
class Code:
    """A code by its modules.

    Parameters
    ----------
    level : str
        Error correction: Q restores about a quarter of the code, M about a seventh.
    rows : tuple of tuple of bool
        True where a module is dark, without the quiet zone.
    """

    level: str
    rows: tuple[tuple[bool, ...], ...]

    @property
    def modules(self) -> int:
        """Modules along a side, without the quiet zone."""
        return len(self.rows)

    @property
    def modules_with_quiet_zone(self) -> int:
        """Modules along a side, with the quiet zone."""
        return self.modules + 2 * QUIET_MODULES

    @property
    def path(self) -> str:
        """The dark modules as an SVG path, a rectangle a run, one unit a module."""
        return "".join(
            f"M{start} {y}h{length}v1h-{length}z"
            for y, row in enumerate(self.rows)
            for start, length in _dark_runs(row)
        )


def _dark_runs(row: tuple[bool, ...]) -> Iterator[tuple[int, int]]:
    start: int | None = None
    for x, dark in enumerate((*row, False)):
        if dark and start is None:
            start = x
        elif not dark and start is not None:
            yield start, x - start
            start = None


def code_of(address: str, level: str) -> Code:
    """Make the code of an address.

    Parameters
    ----------
    address : str
        What a camera reads.
    level : str
        Error correction, L, M, Q or H.
    """
    # A micro code would be smaller, and many cameras don't read it.
    made = segno.make(address, error=level, micro=False, boost_error=False)
    return Code(level, tuple(tuple(bool(module) for module in row) for row in made.matrix))


def code_that_fits(address: str, side_um: int) -> tuple[Code, int] | None:
    """Make the code with the best error correction whose modules are large enough.

    Parameters
    ----------
    address : str
        What a camera reads.
    side_um : int
        Side of the square that there is, quiet zone included [um].

    Returns
    -------
    (Code, int) or None
        The code and its module [um], a whole number of hundredths of a mm; None where even the
        weaker correction leaves modules below `LEAST_MODULE_UM`.
    """
    for level in LEVELS:
        code = code_of(address, level)
        module_um = side_um // code.modules_with_quiet_zone // 10 * 10
        if module_um >= LEAST_MODULE_UM:
            return code, module_um
    return None
