"""From signed bytes to what the arithmetic reads of profiles, traces, targets and the groove."""

from __future__ import annotations

from typing import Any

from apps.registry.visits import visit_of
from apps.tuning.history import GrooveStatement, Place, Target, TextureTrace
from tests.registry.test_visits import folded

POINTS = [{"x_mm": "0.0", "gap_um": 0}, {"x_mm": "30.5", "gap_um": 40}]


def groove(value: str, **members: Any) -> dict[str, Any]:
    return {"quantity": "centre_groove_width_mm", "value": value, **members}


def test_a_profile_carries_the_uncertainty_of_one_gap() -> None:
    body = {"quantity": "base_gap_profile", "profile": POINTS, "uncertainty": "10"}
    (profile,) = visit_of(folded("measurement", body=body)).profiles
    assert (profile.gap_um, profile.uncertainty_um) == ((0.0, 40.0), 10.0)


def test_a_texture_trace() -> None:
    body = {
        "quantity": "texture_trace",
        "trace": {"spacing_um": "2.0", "heights_um": ["0.00", "1.50", "-1.50"]},
        "uncertainty": "0.10",
        "standard": "ISO 21920-2:2021",
        "position_mm": 900,
        "moment": "after",
    }
    visit = visit_of(folded("measurement", body=body))
    assert visit.traces == (
        TextureTrace(
            2.0, (0.0, 1.5, -1.5), Place(position_mm=900), "after", 0.1, "ISO 21920-2:2021"
        ),
    )
    assert visit.profiles == ()


def test_the_target_of_a_job() -> None:
    target = {"base_bevel_deg": "0.50", "side_bevel_deg": "2.00", "flatness_tolerance_mm": "0.050"}
    visit = visit_of(folded("job", body={"target": target}))
    assert visit.target == Target(0.5, 2.0, 0.05)
    words = visit_of(folded("job", body={"target": {"structure_text": "fine cross"}}))
    assert words.target == Target()
    assert visit_of(folded("job", body={"steps": [{"operation": "deburr"}]})).target is None
    assert visit_of(folded("usage")).target is None


def test_the_groove_as_described_or_as_measured_last() -> None:
    described = visit_of(folded("description", body={"centre_groove_width_mm": "8.0"}))
    assert described.centre_groove == GrooveStatement(8.0, measured=False)
    unsaid = visit_of(folded("description", body={"length_mm": 1710}))
    assert unsaid.centre_groove is None
    job = {"measurements": [groove("8.2"), groove("8.4")]}
    assert visit_of(folded("job", body=job)).centre_groove == GrooveStatement(8.4, measured=True)
    none = {"quantity": "centre_groove_width_mm", "not_measured": "no_gauge"}
    assert visit_of(folded("measurement", body=none)).centre_groove is None
