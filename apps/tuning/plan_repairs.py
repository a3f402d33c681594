"""Which operations mend which finding, and which findings no operation of a tune mends."""

from __future__ import annotations

from dataclasses import dataclass

from apps.tuning.history import EDGES, Edge, Finding
from apps.tuning.plan_request import PlanWarning, TuneRequest, findings_named, plan_warning
from apps.tuning.plan_state import BenchState

_OPERATIONS: dict[str, tuple[str, ...]] = {
    "rust": ("remove_rust",),
    "delamination": ("repair_delamination",),
    "edge_pulled": ("refix_edge",),
    "edge_bent": ("refix_edge",),
    "edge_cracked": ("replace_edge",),
    "missing_edge": ("replace_edge",),
    "hardened_spot": ("remove_hardened_spot",),
    "gouge": ("open_gouge", "fill_gouge", "remove_excess"),
    "scratch": ("open_gouge", "fill_gouge", "remove_excess"),
    "core_shot": ("open_gouge", "patch_base", "remove_excess"),
    "groove_filled": ("recut_groove",),
    "sidewall_damage": ("plane_sidewall",),
    "burr": ("deburr",),
    "oxidised_base": ("prepare_base", "wax", "scrape_wax", "brush"),
    "base_burn": ("structure",),
}

# These are mended by the ground plane itself, once flatness is asked for.
_BY_FLATTENING = ("railed", "base_high")


@dataclass(frozen=True, slots=True)
class Repairs:
    """The findings to mend, and the operations that each brings in."""

    findings: tuple[Finding, ...]

    def edges_for(self, operation: str) -> tuple[Edge, ...]:
        """Edges on which `operation` mends something; both where a finding names none."""
        places = [
            finding.place.edge
            for finding in self.findings
            if operation in _OPERATIONS.get(finding.what, ())
        ]
        if None in places:
            return EDGES
        return tuple(edge for edge in EDGES if edge in places)

    @property
    def flatten(self) -> bool:
        """Whether a finding to mend is one of shape."""
        return any(finding.what in _BY_FLATTENING for finding in self.findings)


def repairs_of(state: BenchState, request: TuneRequest) -> Repairs:
    """The findings that a request wants mended otherwise than by grinding them out."""
    return Repairs(findings_named(state, request.repair))


def not_planned(repairs: Repairs) -> tuple[PlanWarning, ...]:
    """One warning for each finding to mend that no operation of a tune mends."""
    mended = set(_OPERATIONS) | set(_BY_FLATTENING)
    return tuple(
        plan_warning(
            "finding-not-planned",
            f"No step of a tune mends a finding of {finding.what}: judge it by eye before the "
            "ski goes out.",
            finding.place.edge,
            finding=finding.what,
        )
        for finding in repairs.findings
        if finding.what not in mended
    )


def still_open(state: BenchState, request: TuneRequest) -> tuple[Finding, ...]:
    """The open findings that the tune leaves as they are."""
    repairs = repairs_of(state, request)
    mended = set(_OPERATIONS) | set(_BY_FLATTENING)
    closed = {finding.key for finding in repairs.findings if finding.what in mended}
    closed |= set(request.grind_out)
    return tuple(finding for finding in state.findings if finding.key not in closed)
