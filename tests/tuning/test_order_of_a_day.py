"""What one shop writes of one day without times counts in the order in which it was entered.

The ids run against the order of the log, so an order by id would tell the opposite.
"""

from apps.tuning.condition import Condition, fold
from apps.tuning.history import Visit
from apps.tuning.practice import Practice
from tests.tuning.visits import TODAY, base, grind, height, visit

FACETED = visit(0, kind="bevel-setting", bevels=(base(1.0, facet=2.0),))


def told(*visits: Visit) -> Condition:
    return fold(visits, practice=Practice(), today=TODAY)


def codes(condition: Condition) -> list[str]:
    return [warning.code for warning in condition.warnings]


def test_a_bevel_set_after_a_grind_of_the_same_day_stands() -> None:
    ground = visit(1, record="z", steps=(grind(),), entered=1)
    anew = visit(1, record="a", bevels=(base(0.5, facet=2.0),), entered=2)
    condition = told(FACETED, anew, ground)
    assert condition.bevels[0].base_bevel.standing == "stands"
    assert "base-bevel-closed-without-grind" not in codes(condition)


def test_a_second_reading_of_a_day_is_the_later_one() -> None:
    first = visit(1, record="z", kind="measurement", readings=(height(1.8),), entered=1)
    second = visit(1, record="a", kind="measurement", readings=(height(1.6),), entered=2)
    assert "steel-grew" not in codes(told(second, first))


def test_the_last_status_of_a_day_holds() -> None:
    held = visit(1, record="z", kind="status", status="quarantined", entered=1)
    freed = visit(1, record="a", kind="status", status="in_service", entered=2)
    condition = told(freed, held)
    assert condition.status is not None
    assert condition.status.status == "in_service"
