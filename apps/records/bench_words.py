"""The longest word lists of the bench: what can be found on a ski, and what is done to it."""

from __future__ import annotations

from apps.records.words import Word


class FindingKind(Word):
    """What was found on the ski."""

    CORE_SHOT = "core_shot", "A gouge through the base down to the core."
    GOUGE = "gouge", "A deep furrow in the base that stops short of the core."
    SCRATCH = "scratch", "A shallow furrow in the base."
    DELAMINATION = "delamination", "Layers of the ski have parted."
    EDGE_PULLED = "edge_pulled", "The edge is pulled out of its seat."
    EDGE_COMPRESSED = "edge_compressed", "The edge is pressed into the ski by a strike."
    EDGE_CRACKED = "edge_cracked", "The steel of the edge is cracked through."
    EDGE_BENT = "edge_bent", "The edge is bent out of its line."
    BURR = "burr", "A sharp lip of steel that stands or hangs over the edge."
    HARDENED_SPOT = (
        "hardened_spot",
        "Steel made hard by the heat of a strike; a file slides off it.",
    )
    RUST = "rust", "Rust on the edge."
    RAILED = "railed", "The edges stand higher than the base: the base is concave."
    BASE_HIGH = "base_high", "The base stands higher than the edges: the base is convex."
    BASE_BURN = "base_burn", "The base is sealed by too much heat and takes no wax."
    OXIDISED_BASE = "oxidised_base", "The base is grey and dry."
    SIDEWALL_DAMAGE = "sidewall_damage", "The sidewall is torn, cracked or loose."
    TOPSHEET_DAMAGE = "topsheet_damage", "The topsheet is chipped, cut or lifting."
    MISSING_EDGE = "missing_edge", "A piece of the edge is gone."
    GROOVE_FILLED = "groove_filled", "The centre groove is closed by repair material."
    OTHER = "other", "Something else; `what_text` says what."


class Operation(Word):
    """What was done to the ski in one step."""

    CLEAN = "clean", "Wash or wipe off dirt and old wax."
    REMOVE_RUST = "remove_rust", "Take rust off the edges."
    FILE_FLAT = "file_flat", "File base and edges to one plane by hand."
    SCRAPE_STEEL = "scrape_steel", "Scrape the base flat with a steel blade."
    STONE_GRIND = "stone_grind", "Grind base and edges on a dressed stone."
    BELT_GRIND = "belt_grind", "Grind base and edges on an abrasive belt."
    SPOT_FLATTEN = "spot_flatten", "Flatten one stretch of the base only."
    OPEN_GOUGE = "open_gouge", "Cut a gouge clean so that a filling will hold."
    FILL_GOUGE = "fill_gouge", "Fill a gouge with base material."
    PATCH_BASE = "patch_base", "Let a piece of base into a cut-out and glue it."
    REMOVE_EXCESS = "remove_excess", "Take the filling down to the level of the base."
    RECUT_GROOVE = "recut_groove", "Cut the centre groove again after a repair or a grind."
    PLANE_SIDEWALL = "plane_sidewall", "Plane the sidewall back so that it clears the side edge."
    SIDE_BEVEL = "side_bevel", "Work the side face of the edge to its bevel."
    BASE_BEVEL = "base_bevel", "Work the base face of the edge to its bevel."
    REMOVE_HARDENED_SPOT = "remove_hardened_spot", "Stone hardened steel away before filing."
    DEBURR = "deburr", "Take the burr off the edge."
    POLISH_EDGE = "polish_edge", "Polish the edge with a fine stone."
    DETUNE = "detune", "Dull the edge at tip or tail."
    STRUCTURE = "structure", "Cut the ground pattern into the base."
    REPLACE_EDGE = "replace_edge", "Set in new steel over a stretch or the whole edge."
    REFIX_EDGE = "refix_edge", "Glue or screw a pulled edge back into its seat."
    REPAIR_DELAMINATION = "repair_delamination", "Glue parted layers together under pressure."
    PREPARE_BASE = "prepare_base", "Brush, fleece and hot-clean the base before waxing."
    WAX = "wax", "Put on wax."
    SCRAPE_WAX = "scrape_wax", "Scrape off the wax that stands on the base."
    BRUSH = "brush", "Brush the base out."
    INSPECT_BINDING = "inspect_binding", "A trained technician inspects the binding; result only."
    OTHER = "other", "Something else; `operation_text` says what."
