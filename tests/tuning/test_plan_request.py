"""What a request is refused for, and what it is only warned of."""

import re
from math import inf, nan

import pytest

from apps.tuning.bevel import USUAL_BASE_BEVEL_DEG, USUAL_SIDE_BEVEL_DEG
from apps.tuning.errors import (
    BevelOutOfRangeError,
    NotFiniteError,
    OutOfRangeError,
    TuningError,
)
from apps.tuning.history import FindingKey
from apps.tuning.plan import plan_tune
from apps.tuning.plan_amounts import Taken
from apps.tuning.plan_request import (
    Assumed,
    AssumedEdge,
    ContradictoryRequestError,
    EdgeTarget,
    Targets,
    TuneRequest,
    UnknownFindingError,
    UnknownOperationError,
    check_request,
    findings_named,
    request_warnings,
)
from apps.tuning.practice import Amount, Removal
from tests.tuning.plan_cases import RECORD, finding, ski

KEY = FindingKey(RECORD, 0)


def left(target: EdgeTarget) -> TuneRequest:
    return TuneRequest(targets=Targets(left=target))


def assumed_right(edge: AssumedEdge) -> TuneRequest:
    return TuneRequest(assumed=Assumed(right=edge))


@pytest.mark.parametrize(
    ("request_", "error", "field"),
    [
        (left(EdgeTarget(5.01)), BevelOutOfRangeError, "targets.left.base_bevel_deg"),
        (left(EdgeTarget(-0.1)), BevelOutOfRangeError, "targets.left.base_bevel_deg"),
        (left(EdgeTarget(nan)), NotFiniteError, "targets.left.base_bevel_deg"),
        (left(EdgeTarget(1.0, 10.5)), BevelOutOfRangeError, "targets.left.side_bevel_deg"),
        (left(EdgeTarget(1.0, 88.0)), BevelOutOfRangeError, "targets.left.side_bevel_deg"),
        (
            TuneRequest(targets=Targets(right=EdgeTarget(6.0))),
            BevelOutOfRangeError,
            "targets.right.base_bevel_deg",
        ),
        (
            assumed_right(AssumedEdge(base_bevel_deg=7.0)),
            BevelOutOfRangeError,
            "assumed.right.base_bevel_deg",
        ),
        (
            assumed_right(AssumedEdge(facet_width_mm=0.0)),
            OutOfRangeError,
            "assumed.right.facet_width_mm",
        ),
        (
            assumed_right(AssumedEdge(edge_height_mm=18.0)),
            OutOfRangeError,
            "assumed.right.edge_height_mm",
        ),
        (
            assumed_right(AssumedEdge(edge_width_mm=-1.0)),
            OutOfRangeError,
            "assumed.right.edge_width_mm",
        ),
        (TuneRequest(flatness_tolerance_mm=-0.01), OutOfRangeError, "flatness_tolerance_mm"),
        (TuneRequest(flatness_tolerance_mm=50.0), OutOfRangeError, "flatness_tolerance_mm"),
        (
            TuneRequest(assumed=Assumed(concavity_mm=inf)),
            NotFiniteError,
            "assumed.concavity_mm",
        ),
        (
            TuneRequest(assumed=Assumed(base_thickness_mm=12.0)),
            OutOfRangeError,
            "assumed.base_thickness_mm",
        ),
        (
            TuneRequest(assumed=Assumed(concavity_mm=0.1, convexity_mm=0.1)),
            ContradictoryRequestError,
            "assumed.convexity_mm",
        ),
        (TuneRequest(iron_temperature_c=40.0), OutOfRangeError, "iron_temperature_c"),
        (TuneRequest(iron_temperature_c=300.0), OutOfRangeError, "iron_temperature_c"),
        (
            TuneRequest(spot_flatten=True, flatness_tolerance_mm=0.05),
            ContradictoryRequestError,
            "spot_flatten",
        ),
        (
            TuneRequest(assumed=Assumed(removals={"stone-grind": Removal()})),
            UnknownOperationError,
            "assumed.removals.stone-grind",
        ),
        (TuneRequest(repair=(KEY,)), UnknownFindingError, "repair[0]"),
        (TuneRequest(grind_out=(KEY,)), UnknownFindingError, "grind_out[0]"),
    ],
)
def test_refusals_name_the_field(
    request_: TuneRequest, error: type[TuningError], field: str
) -> None:
    with pytest.raises(error, match=re.escape(".")) as refused:
        plan_tune(ski(), request_)
    assert type(refused.value) is error
    assert refused.value.field == field


def test_a_closed_finding_can_not_be_mended_again() -> None:
    state = ski(findings=(finding("gouge", is_open=False),))
    with pytest.raises(UnknownFindingError, match="open"):
        check_request(TuneRequest(repair=(KEY,)), state)


def test_a_core_shot_can_not_be_ground_out() -> None:
    with pytest.raises(UnknownFindingError, match="core_shot") as refused:
        check_request(TuneRequest(grind_out=(KEY,)), ski(findings=(finding("core_shot"),)))
    assert refused.value.field == "grind_out[0]"


def test_a_gouge_is_filled_or_ground_out() -> None:
    with pytest.raises(ContradictoryRequestError, match="once"):
        check_request(
            TuneRequest(grind_out=(KEY,), repair=(KEY,)), ski(findings=(finding("gouge"),))
        )


def test_an_ordinary_request_passes() -> None:
    request = TuneRequest(
        targets=Targets.both(1.0, 2.0),
        flatness_tolerance_mm=0.05,
        repair=(KEY,),
        iron_temperature_c=120.0,
        assumed=Assumed(
            left=AssumedEdge(1.0, 2.0, 2.0, 1.8, 2.0), convexity_mm=0.1, uncertainty_mm=0.01
        ),
    )
    check_request(request, ski(findings=(finding("gouge"),)))


def test_an_unknown_key_names_no_finding() -> None:
    assert findings_named(ski(), (KEY,)) == ()


# Common practice, no source: base above 1.5 and side above 4 are outside the usual tunes.
@pytest.mark.parametrize(
    ("base_deg", "side_deg", "expected"),
    [
        (USUAL_BASE_BEVEL_DEG, USUAL_SIDE_BEVEL_DEG, []),
        (1.51, 2.0, ["unusual-base-bevel"]),
        (1.0, 4.01, ["unusual-side-bevel"]),
        (2.0, 1.0, ["unusual-base-bevel", "included-angle-over-90"]),
        (1.0, 0.5, ["included-angle-over-90"]),
        (None, 5.0, ["unusual-side-bevel"]),
        (3.0, None, ["unusual-base-bevel"]),
    ],
)
def test_odd_bevels_are_warned_of(
    base_deg: float | None, side_deg: float | None, expected: list[str]
) -> None:
    warnings = request_warnings(left(EdgeTarget(base_deg, side_deg)))
    assert [warning.code for warning in warnings] == expected
    assert all(warning.edge == "left" and "left" in warning.message for warning in warnings)


def test_an_amount_stated_by_the_request_is_reckoned_with() -> None:
    amount = Amount(0.02, 0.02, 0.02)
    stated = Assumed(removals={"structure": Removal(edge_height=amount, base_thickness=amount)})
    spent = plan_tune(ski(), TuneRequest(structure=True, assumed=stated)).spent
    assert spent.edge_height_mm.left == Taken(0.02, 0.02, 0.02, "stated")
    assert spent.base_mm == Taken(0.02, 0.02, 0.02, "stated")
