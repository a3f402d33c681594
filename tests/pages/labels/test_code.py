"""The code on a label, and how large its modules are."""

from __future__ import annotations

import numpy as np
import pytest
import zxingcpp

from apps.pages.labels.code import LEAST_MODULE_UM, QUIET_MODULES, Code, code_of, code_that_fits

ADDRESS = "https://ski.example.org/t/veskerdal-hire/VH-0001S"


def read_back(code: Code, dots: int = 4) -> list[str]:
    """Read a code by a decoder that knows nothing of what drew it."""
    quiet = np.pad(np.array(code.rows, dtype=np.uint8), QUIET_MODULES)
    picture = np.where(quiet, 0, 255).astype(np.uint8).repeat(dots, 0).repeat(dots, 1)
    return [found.text for found in zxingcpp.read_barcodes(picture)]


@pytest.mark.parametrize("level", ["L", "M", "Q", "H"])
@pytest.mark.parametrize("address", [ADDRESS, "https://a.example/t/b/C1", "x" * 180])
def test_another_decoder_reads_the_address(address: str, level: str) -> None:
    assert read_back(code_of(address, level)) == [address]


# ISO/IEC 18004:2015 table 7: version 3 is 29 modules wide and holds 42 bytes at M, 32 at Q;
# version 4 is 33 wide and holds 62 at M, 46 at Q (from memory).
@pytest.mark.parametrize(
    ("length", "level", "modules"),
    [(42, "M", 29), (43, "M", 33), (62, "M", 33), (32, "Q", 29), (33, "Q", 33), (46, "Q", 33)],
)
def test_a_code_is_as_wide_as_the_standard_says(length: int, level: str, modules: int) -> None:
    code = code_of("x" * length, level)
    assert code.modules == modules
    assert code.modules_with_quiet_zone == modules + 8


def test_the_stronger_correction_is_taken_where_it_fits() -> None:
    side_um = 8 * 10 + 37 * LEAST_MODULE_UM  # room for neither at 41 modules
    strong = code_that_fits("x" * 40, 41 * LEAST_MODULE_UM)
    weak = code_that_fits("x" * 40, side_um)
    assert strong is not None
    assert (strong[0].level, strong[0].modules, strong[1]) == ("Q", 33, LEAST_MODULE_UM)
    assert weak is not None
    assert (weak[0].level, weak[0].modules) == ("M", 29)
    assert weak[1] >= LEAST_MODULE_UM


def test_a_module_is_never_smaller_than_a_camera_needs() -> None:
    assert code_that_fits("x" * 40, 37 * LEAST_MODULE_UM - 1) is None


@pytest.mark.parametrize("side_um", [15_000, 21_999, 34_000])
def test_modules_are_whole_hundredths_of_a_millimetre_and_fit(side_um: int) -> None:
    fitting = code_that_fits(ADDRESS, side_um)
    assert fitting is not None
    code, module_um = fitting
    assert module_um % 10 == 0
    side = code.modules_with_quiet_zone * module_um
    assert side <= side_um < side + code.modules_with_quiet_zone * 10


def test_the_path_is_dark_where_the_code_is() -> None:
    code = Code("M", ((True, True, False), (False, False, False), (True, False, True)))
    assert code.path == "M0 0h2v1h-2zM0 2h1v1h-1zM2 2h1v1h-1z"
