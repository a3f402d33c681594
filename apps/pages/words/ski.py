"""Words for the ski itself: its parts, its build, where it stands."""

from __future__ import annotations

from django.utils.translation import pgettext_lazy

from apps.pages.words.tables import Table

CONSTRUCTIONS: Table = {
    "sandwich": pgettext_lazy("construction", "sandwich"),
    "cap": pgettext_lazy("construction", "cap"),
    "torsion_box": pgettext_lazy("construction", "torsion box"),
    "shell": pgettext_lazy("construction", "shell"),
    "other": pgettext_lazy("construction", "other construction"),
}
BASE_MATERIALS: Table = {
    "sintered": pgettext_lazy("base material", "sintered"),
    "extruded": pgettext_lazy("base material", "extruded"),
    "other": pgettext_lazy("base material", "other base"),
}
BASE_COLOURS: Table = {
    "black": pgettext_lazy("base colour", "black"),
    "clear": pgettext_lazy("base colour", "clear"),
    "white": pgettext_lazy("base colour", "white"),
    "coloured": pgettext_lazy("base colour", "coloured"),
    "other": pgettext_lazy("base colour", "other look"),
}
USES: Table = {
    "piste": pgettext_lazy("use of the ski", "piste"),
    "race_slalom": pgettext_lazy("use of the ski", "slalom racing"),
    "race_giant": pgettext_lazy("use of the ski", "giant slalom and faster racing"),
    "all_mountain": pgettext_lazy("use of the ski", "on and off piste"),
    "park": pgettext_lazy("use of the ski", "park and pipe"),
    "touring": pgettext_lazy("use of the ski", "touring"),
    "rental": pgettext_lazy("use of the ski", "rental"),
    "jump": pgettext_lazy("use of the ski", "jumping"),
    "nordic": pgettext_lazy("use of the ski", "cross-country"),
    "other": pgettext_lazy("use of the ski", "other use"),
}
EDGES: Table = {
    "left": pgettext_lazy("edge", "left edge"),
    "right": pgettext_lazy("edge", "right edge"),
    "both": pgettext_lazy("edge", "both edges"),
}
SIDES: Table = {
    "left": pgettext_lazy("side", "left"),
    "right": pgettext_lazy("side", "right"),
    "both": pgettext_lazy("side", "both"),
}
FACES: Table = {
    "base": pgettext_lazy("face of the edge", "base bevel"),
    "side": pgettext_lazy("face of the edge", "side bevel"),
}
SURFACES: Table = {
    "base": pgettext_lazy("surface", "base"),
    "left_side": pgettext_lazy("surface", "left side face"),
    "right_side": pgettext_lazy("surface", "right side face"),
    "top": pgettext_lazy("surface", "topsheet"),
}
STATIONS: Table = {
    "tip": pgettext_lazy("station", "tip"),
    "shovel": pgettext_lazy("station", "shovel"),
    "forebody": pgettext_lazy("station", "forebody"),
    "waist": pgettext_lazy("station", "waist"),
    "rearbody": pgettext_lazy("station", "rearbody"),
    "tail": pgettext_lazy("station", "tail"),
}
STATUSES: Table = {
    "in_service": pgettext_lazy("status of the ski", "in service"),
    "on_bench": pgettext_lazy("status of the ski", "on the bench"),
    "quarantined": pgettext_lazy("status of the ski", "held back after an accident"),
    "retired": pgettext_lazy("status of the ski", "retired"),
    "sold": pgettext_lazy("status of the ski", "sold"),
    "missing": pgettext_lazy("status of the ski", "missing"),
}
STATUS_REASONS: Table = {
    "worn_out": pgettext_lazy("reason of a status", "worn out"),
    "damaged": pgettext_lazy("reason of a status", "damaged past mending"),
    "accident": pgettext_lazy("reason of a status", "part of an accident"),
    "delaminated": pgettext_lazy("reason of a status", "layers have parted"),
    "lost": pgettext_lazy("reason of a status", "lost or stolen"),
    "sold_on": pgettext_lazy("reason of a status", "sold on"),
    "other": pgettext_lazy("reason of a status", "other reason"),
}

SKI_WORDS: dict[str, Table] = {
    "construction": CONSTRUCTIONS,
    "base_material": BASE_MATERIALS,
    "base_colour": BASE_COLOURS,
    "use": USES,
    "edge": EDGES,
    "side": SIDES,
    "face": FACES,
    "surface": SURFACES,
    "station": STATIONS,
    "status": STATUSES,
    "status_reason": STATUS_REASONS,
}
