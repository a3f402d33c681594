"""When a single radius is the wrong word: sidecuts of one, two and three known radii."""

import numpy as np
import pytest

from apps.tuning.errors import ProfileTooShortError
from apps.tuning.sidecut_arcs import Arc, SidecutForm, sidecut_form
from tests.tuning.widths import AT, arc, noisy, two_arcs

DENSE = [100.0 + 10.0 * number for number in range(161)]


def holds(found: Arc, radius_m: float) -> bool:
    assert found.fit is not None
    limits = found.fit.limits
    return limits.high_m is not None and limits.low_m <= radius_m <= limits.high_m


def form(widths: list[float], at: list[float] = AT) -> SidecutForm:
    return sidecut_form(at, widths, 0.06)


# Own data: arcs of known radius with noise of 0.05 mm.
@pytest.mark.parametrize("radius_m", [11.0, 15.0, 27.0])
def test_one_radius_is_called_one(radius_m: float) -> None:
    found = form(noisy(arc(radius_m), 0.05, 11))
    assert found.form == "one-radius"
    (only,) = found.arcs
    assert (only.from_mm, only.to_mm, only.fit) == (100.0, 1700.0, found.whole)
    assert holds(only, radius_m)


# One row in a hundred may be taken for another by the test's own sureness.
def test_one_radius_is_seldom_taken_for_several() -> None:
    generator = np.random.default_rng(5)
    rows = [(np.array(arc(15.0)) + generator.normal(0, 0.06, 17)).tolist() for _ in range(200)]
    assert sum(form(row).form != "one-radius" for row in rows) <= 8


@pytest.mark.parametrize(("rear_m", "front_m"), [(17.0, 12.0), (14.0, 19.0)])
def test_two_radii_are_told_apart_with_their_stretches(rear_m: float, front_m: float) -> None:
    found = form([round(width, 1) for width in noisy(two_arcs(rear_m, front_m), 0.03, 3)])
    assert found.form == "several-radii"
    assert not found.whole.explained
    rear, front = found.arcs
    assert holds(rear, rear_m)
    assert holds(front, front_m)
    assert (rear.from_mm, front.to_mm) == (100.0, 1700.0)
    assert 700 <= rear.to_mm < front.from_mm <= 1100


# A straight stretch behind a sidecut: 600 mm of 80 mm, then an arc of 13 m; the stretch has no
# radius, or none within its uncertainty, and says so.
def test_a_straight_stretch_has_no_radius() -> None:
    straight = [80.0] * 60
    curved = [80.0 + (10.0 * i) ** 2 / 13_000 for i in range(101)]
    found = form([*straight, *curved], DENSE)
    assert found.form == "several-radii"
    first, last = found.arcs[0], found.arcs[-1]
    assert first.fit is None
    assert last.fit is not None
    assert last.fit.radius_m == pytest.approx(13.0, rel=0.02)


def test_three_radii_are_told_apart() -> None:
    x = np.array(DENSE)
    bend = np.select([x < 500, x < 1200], [1 / 20_000, 1 / 12_000], 1 / 28_000)
    slope = np.cumsum(2 * bend * 10.0)
    widths = 68.0 + np.cumsum((slope - np.interp(900.0, x, slope)) * 10.0)
    found = form((widths - widths.min() + 68.0).tolist(), DENSE)
    assert found.form == "several-radii"
    assert len(found.arcs) == 3
    middle = found.arcs[1].fit
    assert middle is not None
    assert middle.radius_m == pytest.approx(12.0, rel=0.05)


# Noise far beyond the stated uncertainty is no sidecut of several radii.
def test_scatter_that_no_arcs_explain() -> None:
    found = sidecut_form(DENSE, noisy(arc(15.0, at=DENSE), 0.5, 9), 0.06)
    assert (found.form, found.arcs) == ("no-arcs", ())
    assert found.whole.radius_m == pytest.approx(15.0, rel=0.02)


# Six widths can't make two arcs of four each, whatever they say.
def test_too_few_widths_to_part() -> None:
    at = [200.0, 500.0, 800.0, 1100.0, 1400.0, 1700.0]
    found = sidecut_form(at, two_arcs(20.0, 9.0, at), 0.05)
    assert (found.form, found.arcs) == ("no-arcs", ())


def test_two_widths_are_refused() -> None:
    with pytest.raises(ProfileTooShortError):
        sidecut_form([200, 1600], [100, 100])
