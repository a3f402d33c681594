"""Settings of a shop: amounts in order, the least of each quantity, and changes to removals."""

import pytest

from apps.tuning.practice import NOTHING, Amount, Practice, Removal


@pytest.mark.parametrize("limits", [(-0.1, 0.0, 0.1), (0.2, 0.1, 0.3), (0.1, 0.3, 0.2)])
def test_an_amount_out_of_order_is_refused(limits: tuple[float, float, float]) -> None:
    with pytest.raises(ValueError, match="0 <= low_mm <= usual_mm <= high_mm"):
        Amount(*limits)


def test_repeats_multiply_all_three() -> None:
    assert Amount(0.25, 0.5, 1.0).times(3) == Amount(0.75, 1.5, 3.0)


# Common practice, no source: the defaults of a shop that set nothing.
def test_the_least_of_each_quantity() -> None:
    practice = Practice()
    assert practice.least_mm("edge_height") == 0.8
    assert practice.least_mm("edge_width") == 1.0
    assert practice.least_mm("base_thickness") == 0.6


def test_a_removal_names_each_quantity() -> None:
    height, width, base = Amount(0.1, 0.1, 0.1), Amount(0.2, 0.2, 0.2), Amount(0.3, 0.3, 0.3)
    removal = Removal(height, width, base)
    assert removal.of("edge_height") == height
    assert removal.of("edge_width") == width
    assert removal.of("base_thickness") == base


def test_every_default_that_takes_anything_has_limits_around_the_usual() -> None:
    for removal in Practice().removals.values():
        for amount in (removal.edge_height, removal.edge_width, removal.base_thickness):
            assert amount == NOTHING or amount.low_mm < amount.usual_mm < amount.high_mm


def test_an_unknown_operation_takes_nothing_and_one_can_be_changed() -> None:
    practice = Practice()
    assert practice.removal("wax") == Removal()
    own = Removal(base_thickness=Amount(0.01, 0.02, 0.03))
    changed = practice.with_removals({"wax": own})
    assert changed.removal("wax") == own
    assert changed.removal("stone_grind") == practice.removal("stone_grind")
    assert practice.removal("wax") == Removal()
