"""What the settings of a shop's practice are called on its page."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

Labelled = tuple[str, Promise]


@dataclass(frozen=True, slots=True)
class Group:
    """Settings that belong together: their names in `Practice`, and what they are called."""

    title: Promise
    settings: tuple[Labelled, ...]


GROUPS = (
    Group(
        _("The least that a ski is worked with"),
        (
            ("least_edge_height_mm", _("Edge height")),
            ("least_edge_width_mm", _("Edge width")),
            ("least_base_thickness_mm", _("Base thickness")),
        ),
    ),
    Group(
        _("How far a reading may be off where nobody says (k = 2)"),
        (
            ("reading_uncertainty_mm", _("A reading of steel or base")),
            ("bevel_uncertainty_deg", _("A bevel")),
            ("profile_uncertainty_mm", _("A gap under the true bar")),
            ("radius_uncertainty_m", _("A turn radius out of widths")),
            ("gauge_shared_share", _("Part that all readings of one gauge share")),
        ),
    ),
    Group(
        _("At the bench"),
        (
            ("usual_base_bevel_deg", _("Base bevel usually set")),
            ("usual_side_bevel_deg", _("Side bevel usually set")),
            ("bevel_tolerance_deg", _("A finished bevel may lie beside its target by")),
            ("flatness_tolerance_mm", _("A gap under the true bar that still counts as flat")),
            ("facet_width_mm", _("Facet assumed where nobody measured it")),
            ("facet_width_uncertainty_mm", _("How far that facet may be off")),
        ),
    ),
    Group(
        _("The two skis of a pair may differ by"),
        (
            ("pair_bevel_deg", _("Bevels")),
            ("pair_steel_mm", _("Edge height and width")),
            ("pair_base_mm", _("Base thickness")),
            ("pair_radius_m", _("Turn radius")),
            ("pair_length_mm", _("Length")),
            ("pair_days", _("Use")),
        ),
    ),
    Group(
        _("When a ski is due"),
        (
            ("due_after_days_out", _("After the last job, used for")),
            ("due_after_calendar_days", _("After the last job, by the calendar")),
            ("mend_severe_days", _("A severe finding is mended within")),
            ("mend_moderate_days", _("A moderate finding is mended within")),
            ("mend_slight_days", _("A slight finding is mended within")),
            ("long_gap_days", _("A history has a gap without a record for")),
            ("season_first", _("The season begins on")),
            ("season_last", _("The season ends on")),
        ),
    ),
)
