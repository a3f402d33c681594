"""Words for what is found, done and measured at the bench."""

from __future__ import annotations

from django.utils.translation import pgettext_lazy

from apps.pages.words.tables import Table

FINDINGS: Table = {
    "core_shot": pgettext_lazy("finding", "core shot"),
    "gouge": pgettext_lazy("finding", "gouge"),
    "scratch": pgettext_lazy("finding", "scratch"),
    "delamination": pgettext_lazy("finding", "parted layers"),
    "edge_pulled": pgettext_lazy("finding", "pulled edge"),
    "edge_compressed": pgettext_lazy("finding", "compressed edge"),
    "edge_cracked": pgettext_lazy("finding", "cracked edge"),
    "edge_bent": pgettext_lazy("finding", "bent edge"),
    "burr": pgettext_lazy("finding", "burr"),
    "hardened_spot": pgettext_lazy("finding", "hardened spot"),
    "rust": pgettext_lazy("finding", "rust"),
    "railed": pgettext_lazy("finding", "railed edges, base concave"),
    "base_high": pgettext_lazy("finding", "base high, convex"),
    "base_burn": pgettext_lazy("finding", "burnt base"),
    "oxidised_base": pgettext_lazy("finding", "grey, dry base"),
    "sidewall_damage": pgettext_lazy("finding", "damaged sidewall"),
    "topsheet_damage": pgettext_lazy("finding", "damaged topsheet"),
    "missing_edge": pgettext_lazy("finding", "piece of edge missing"),
    "groove_filled": pgettext_lazy("finding", "centre groove closed"),
    "other": pgettext_lazy("finding", "other finding"),
}
OPERATIONS: Table = {
    "clean": pgettext_lazy("operation", "clean"),
    "remove_rust": pgettext_lazy("operation", "take off rust"),
    "file_flat": pgettext_lazy("operation", "file flat"),
    "scrape_steel": pgettext_lazy("operation", "scrape flat with steel"),
    "stone_grind": pgettext_lazy("operation", "stone grind"),
    "belt_grind": pgettext_lazy("operation", "belt grind"),
    "spot_flatten": pgettext_lazy("operation", "flatten one stretch"),
    "open_gouge": pgettext_lazy("operation", "cut the gouge clean"),
    "fill_gouge": pgettext_lazy("operation", "fill the gouge"),
    "patch_base": pgettext_lazy("operation", "patch the base"),
    "remove_excess": pgettext_lazy("operation", "level the filling"),
    "recut_groove": pgettext_lazy("operation", "recut the centre groove"),
    "plane_sidewall": pgettext_lazy("operation", "plane the sidewall"),
    "side_bevel": pgettext_lazy("operation", "work the side bevel"),
    "base_bevel": pgettext_lazy("operation", "work the base bevel"),
    "remove_hardened_spot": pgettext_lazy("operation", "stone off hardened steel"),
    "deburr": pgettext_lazy("operation", "deburr"),
    "polish_edge": pgettext_lazy("operation", "polish the edge"),
    "detune": pgettext_lazy("operation", "dull the edge"),
    "structure": pgettext_lazy("operation", "cut the structure"),
    "replace_edge": pgettext_lazy("operation", "replace the edge"),
    "refix_edge": pgettext_lazy("operation", "refix the edge"),
    "repair_delamination": pgettext_lazy("operation", "glue parted layers"),
    "prepare_base": pgettext_lazy("operation", "prepare the base for wax"),
    "wax": pgettext_lazy("operation", "wax"),
    "scrape_wax": pgettext_lazy("operation", "scrape off wax"),
    "brush": pgettext_lazy("operation", "brush"),
    "inspect_binding": pgettext_lazy("operation", "binding inspected, result only"),
    "other": pgettext_lazy("operation", "other work"),
}
SEVERITIES: Table = {
    "slight": pgettext_lazy("severity", "slight"),
    "moderate": pgettext_lazy("severity", "moderate"),
    "severe": pgettext_lazy("severity", "severe"),
}
FINDING_STATES: Table = {
    "open": pgettext_lazy("state of a finding", "left open"),
    "repaired": pgettext_lazy("state of a finding", "repaired"),
}
REPAIR_METHODS: Table = {
    "drip": pgettext_lazy("repair method", "dripped in"),
    "extruder": pgettext_lazy("repair method", "pressed in from a heated gun"),
    "weld": pgettext_lazy("repair method", "welded in"),
    "patch": pgettext_lazy("repair method", "patch let in"),
    "powder": pgettext_lazy("repair method", "powder melted in"),
    "other": pgettext_lazy("repair method", "other method"),
}
WAX_CLASSES: Table = {
    "universal": pgettext_lazy("wax", "universal"),
    "cold": pgettext_lazy("wax", "cold snow"),
    "cool": pgettext_lazy("wax", "between cold and mild"),
    "mild": pgettext_lazy("wax", "mild snow"),
    "warm": pgettext_lazy("wax", "wet snow"),
    "base_prep": pgettext_lazy("wax", "base preparation"),
    "liquid": pgettext_lazy("wax", "liquid, without an iron"),
    "other": pgettext_lazy("wax", "other wax"),
}
INSPECTED_AS: Table = {
    "owned_or_long_rental": pgettext_lazy("inspected as", "owned, or rented for 15 days and more"),
    "short_rental": pgettext_lazy("inspected as", "rented for under 15 days"),
    "other": pgettext_lazy("inspected as", "other rule book"),
}
INSPECTIONS: Table = {
    "passed": pgettext_lazy("result of an inspection", "passed"),
    "failed": pgettext_lazy("result of an inspection", "failed"),
    "not_done": pgettext_lazy("result of an inspection", "not inspected"),
}
MOMENTS: Table = {
    "before": pgettext_lazy("moment", "before the work"),
    "after": pgettext_lazy("moment", "after the work"),
}
BASES: Table = {
    "set": pgettext_lazy("where a bevel comes from", "set"),
    "measured": pgettext_lazy("where a bevel comes from", "measured"),
    "specified": pgettext_lazy("where a bevel comes from", "specified by the maker"),
}
NOT_MEASURED: Table = {
    "no_gauge": pgettext_lazy("why not measured", "no gauge for it"),
    "not_reachable": pgettext_lazy("why not measured", "place out of reach of the gauge"),
    "damaged": pgettext_lazy("why not measured", "place damaged"),
    "other": pgettext_lazy("why not measured", "other reason"),
}
QUANTITIES: Table = {
    "edge_height_mm": pgettext_lazy("quantity", "edge height"),
    "edge_width_mm": pgettext_lazy("quantity", "edge width"),
    "base_thickness_mm": pgettext_lazy("quantity", "base thickness"),
    "width_mm": pgettext_lazy("quantity", "ski width"),
    "length_mm": pgettext_lazy("quantity", "ski length"),
    "chord_mm": pgettext_lazy("quantity", "chord between the widest points"),
    "radius_m": pgettext_lazy("quantity", "sidecut radius"),
    "centre_groove_width_mm": pgettext_lazy("quantity", "centre groove width"),
    "centre_groove_depth_mm": pgettext_lazy("quantity", "centre groove depth"),
    "camber_mm": pgettext_lazy("quantity", "camber"),
    "edge_hardness_hrc": pgettext_lazy("quantity", "edge hardness"),
    "texture_ra_um": pgettext_lazy("quantity", "texture Ra"),
    "texture_rz_um": pgettext_lazy("quantity", "texture Rz"),
    "base_gap_profile": pgettext_lazy("quantity", "gaps under a true bar across the base"),
    "width_profile": pgettext_lazy("quantity", "widths along the ski"),
    "texture_trace": pgettext_lazy("quantity", "trace of the base texture"),
    "other": pgettext_lazy("quantity", "other quantity"),
}
PLANE_OPERATIONS: Table = {
    "stone_grind": pgettext_lazy("means of flattening", "stone"),
    "belt_grind": pgettext_lazy("means of flattening", "belt"),
    "file_flat": pgettext_lazy("means of flattening", "file"),
}

BENCH_WORDS: dict[str, Table] = {
    "finding": FINDINGS,
    "operation": OPERATIONS,
    "severity": SEVERITIES,
    "finding_state": FINDING_STATES,
    "repair_method": REPAIR_METHODS,
    "wax_class": WAX_CLASSES,
    "inspected_as": INSPECTED_AS,
    "inspection": INSPECTIONS,
    "moment": MOMENTS,
    "basis": BASES,
    "not_measured": NOT_MEASURED,
    "quantity": QUANTITIES,
    "plane_operation": PLANE_OPERATIONS,
}
