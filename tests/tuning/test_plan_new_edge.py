"""Plans that replace an edge: the steel that is thrown away neither forbids nor allows anything.

Own numbers; what is right follows from what a new edge is, no source.
"""

from apps.tuning.history import Place
from apps.tuning.plan import Plan, plan_tune
from apps.tuning.plan_amounts import Bounded
from apps.tuning.plan_request import Targets, TuneRequest
from apps.tuning.practice import Practice
from tests.tuning.plan_cases import edge, finding, ski

CRACKED = finding("edge_cracked", place=Place(edge="left"))
FITTED = TuneRequest(targets=Targets.both(1.0, 3.0), repair=(CRACKED.key,))


def fitted(left_height_mm: float, left_base_deg: float = 1.0) -> Plan:
    worn = edge(left_base_deg, height_mm=left_height_mm, uncertainty_mm=0.02)
    state = ski(worn, edge(height_mm=1.5, uncertainty_mm=0.02), findings=(CRACKED,))
    return plan_tune(state, FITTED, Practice())


def test_worn_steel_that_is_replaced_forbids_nothing() -> None:
    plan = fitted(0.70)
    assert plan.verdict.outcome == "undecided"
    assert {reason.code for reason in plan.verdict.reasons} == {"not-measured"}
    edges = {reason.budget.edge for reason in plan.verdict.reasons if reason.budget is not None}
    assert edges == {"left"}
    assert "already-below-least" not in [warning.code for warning in plan.warnings]


def test_thick_steel_that_is_replaced_allows_nothing() -> None:
    assert fitted(2.0).verdict == fitted(0.70).verdict


def test_the_new_edge_is_to_be_measured_once_it_is_fitted() -> None:
    sentences = [measure.sentence for measure in fitted(0.70).verdict.measure_first]
    assert "Measure the edge height of the left edge once the new edge is fitted." in sentences
    assert "Measure base bevel and facet width of the left edge once it is fitted." in sentences
    assert all("right" not in sentence for sentence in sentences)


def test_nothing_of_the_new_steel_is_told_but_its_bevels_as_set() -> None:
    plan = fitted(0.70)
    assert plan.before.left.edge_height_mm == Bounded.reading(0.70, 0.02)
    assert plan.after.left.edge_height_mm is None
    assert plan.after.left.edge_width_mm is None
    assert plan.after.left.side_bevel.known_deg == Bounded(3.0, 2.75, 3.25)
    assert plan.after.right.edge_height_mm is not None


# The bevel of the old edge asked for a closing grind; a new one has another bevel.
def test_the_bevel_of_the_old_edge_demands_no_grind() -> None:
    steep = fitted(1.5, left_base_deg=2.5)
    assert steep.plane.closing == fitted(1.5).plane.closing
    assert steep.plane.need == "perhaps"
