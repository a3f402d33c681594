"""Words for what the bench arithmetic makes of a history."""

from __future__ import annotations

from django.utils.translation import pgettext_lazy

from apps.pages.words.tables import Table

STANDINGS: Table = {
    "stands": pgettext_lazy("standing of a bevel", "stands"),
    "partly_ground_away": pgettext_lazy("standing of a bevel", "partly ground away"),
    "ground_away": pgettext_lazy("standing of a bevel", "ground away"),
    "uncertain": pgettext_lazy("standing of a bevel", "uncertain"),
    "never_stated": pgettext_lazy("standing of a bevel", "never stated"),
}
SURENESSES: Table = {
    "certain": pgettext_lazy("how sure", "certain"),
    "likely": pgettext_lazy("how sure", "likely"),
    "possible": pgettext_lazy("how sure", "possible"),
}
FIGURE_BASES: Table = {
    "readings": pgettext_lazy("what a figure rests on", "readings"),
    "practice": pgettext_lazy("what a figure rests on", "practice"),
    "readings less practice": pgettext_lazy("what a figure rests on", "readings less practice"),
}
CONFIDENCES: Table = {
    "about 95 %": pgettext_lazy("confidence", "about 95 %"),
    "about 95 % if practice holds": pgettext_lazy("confidence", "about 95 %, if practice holds"),
    "by practice alone": pgettext_lazy("confidence", "by practice alone"),
}
TAKEN_BASES: Table = {
    "geometry": pgettext_lazy("what an amount rests on", "geometry"),
    "readings": pgettext_lazy("what an amount rests on", "readings"),
    "stated": pgettext_lazy("what an amount rests on", "stated"),
    "practice": pgettext_lazy("what an amount rests on", "practice"),
}
SHAPES: Table = {
    "flat": pgettext_lazy("shape of the base", "flat"),
    "concave": pgettext_lazy("shape of the base", "concave"),
    "convex": pgettext_lazy("shape of the base", "convex"),
    "uneven": pgettext_lazy("shape of the base", "uneven"),
}
CONFORMITIES: Table = {
    "pass": pgettext_lazy("whether a target was met", "meets the target"),
    "fail": pgettext_lazy("whether a target was met", "misses the target"),
    "undecided": pgettext_lazy("whether a target was met", "undecided"),
    "unmeasured": pgettext_lazy("whether a target was met", "not measured"),
}
VERDICTS: Table = {
    "feasible": pgettext_lazy("verdict on a plan", "feasible"),
    "not_feasible": pgettext_lazy("verdict on a plan", "not feasible"),
    "undecided": pgettext_lazy("verdict on a plan", "undecided"),
}
TOGETHERNESS: Table = {
    "together": pgettext_lazy("two skis of a pair", "together"),
    "apart": pgettext_lazy("two skis of a pair", "apart"),
    "undecided": pgettext_lazy("two skis of a pair", "undecided"),
}
MATERIALS: Table = {
    "edge_height": pgettext_lazy("material", "edge height"),
    "edge_width": pgettext_lazy("material", "edge width"),
    "base_thickness": pgettext_lazy("material", "base thickness"),
}
PAIR_QUANTITIES: Table = {
    "base_bevel": pgettext_lazy("compared on a pair", "base bevel"),
    "side_bevel": pgettext_lazy("compared on a pair", "side bevel"),
    "edge_height": pgettext_lazy("compared on a pair", "edge height"),
    "edge_width": pgettext_lazy("compared on a pair", "edge width"),
    "base_thickness": pgettext_lazy("compared on a pair", "base thickness"),
    "radius": pgettext_lazy("compared on a pair", "sidecut radius"),
    "length": pgettext_lazy("compared on a pair", "ski length"),
    "days_in_use": pgettext_lazy("compared on a pair", "days in use"),
}
OPTIONS: Table = {
    "fill_gouges": pgettext_lazy("cheaper way", "fill the damage"),
    "keep_base_bevel": pgettext_lazy("cheaper way", "keep the base bevel"),
    "wider_tolerance": pgettext_lazy("cheaper way", "wider tolerance"),
    "spot_flatten": pgettext_lazy("cheaper way", "flatten one stretch"),
    "no_structure": pgettext_lazy("cheaper way", "no structure"),
    "bevels_only": pgettext_lazy("cheaper way", "bevels only"),
}
WARNINGS: Table = {
    "steel-grew": pgettext_lazy("doubt about a history", "steel that grew"),
    "base-grew": pgettext_lazy("doubt about a history", "base that grew"),
    "base-bevel-closed-without-grind": pgettext_lazy(
        "doubt about a history", "base bevel closed without a grind"
    ),
    "dated-in-future": pgettext_lazy("doubt about a history", "dated in the future"),
    "out-of-order": pgettext_lazy("doubt about a history", "out of order"),
    "order-unknown": pgettext_lazy("doubt about a history", "order unknown"),
    "double-entry": pgettext_lazy("doubt about a history", "double entry"),
    "gauges-disagree": pgettext_lazy("doubt about a history", "gauges disagree"),
    "long-gap": pgettext_lazy("doubt about a history", "long gap"),
    "several-corrections": pgettext_lazy("doubt about a history", "corrected several times"),
    "set-and-measured-disagree": pgettext_lazy(
        "doubt about a history", "set and measured disagree"
    ),
    "work-after-retired": pgettext_lazy("doubt about a history", "work after retirement"),
    "removed-more-than-measured": pgettext_lazy(
        "doubt about a history", "more taken off than measured"
    ),
}
DUE_REASONS: Table = {
    "finding": pgettext_lazy("why a ski is due", "open finding"),
    "days-out": pgettext_lazy("why a ski is due", "days out reached"),
    "forecast": pgettext_lazy("why a ski is due", "days out soon reached"),
    "date": pgettext_lazy("why a ski is due", "time since the last job"),
    "no-job": pgettext_lazy("why a ski is due", "no job on record"),
}
NEEDS: Table = {
    "yes": pgettext_lazy("whether it is needed", "needed"),
    "perhaps": pgettext_lazy("whether it is needed", "perhaps needed"),
    "no": pgettext_lazy("whether it is needed", "not needed"),
}
GOVERNORS: Table = {
    "flatness": pgettext_lazy("what the ground plane is for", "flatness"),
    "closing": pgettext_lazy("what the ground plane is for", "closing the base bevel"),
    "grind_out": pgettext_lazy("what the ground plane is for", "grinding out damage"),
    "nothing": pgettext_lazy("what the ground plane is for", "nothing"),
}
CAUTIONS: Table = {
    "sharp-edges": pgettext_lazy("caution", "sharp edges"),
    "no-gloves-at-wheel": pgettext_lazy("caution", "no gloves at the wheel"),
    "grinding-dust": pgettext_lazy("caution", "grinding dust"),
    "steel-chips": pgettext_lazy("caution", "flying chips"),
    "repair-fume": pgettext_lazy("caution", "fume of repair material"),
    "glue-fume": pgettext_lazy("caution", "vapour of glue"),
    "wax-fume": pgettext_lazy("caution", "wax fume"),
    "no-flame-near-fluoropolymer": pgettext_lazy("caution", "no flame near fluoropolymer"),
    "base-heat": pgettext_lazy("caution", "heat harms the base"),
    "binding-inspect-only": pgettext_lazy("caution", "bindings: inspect only"),
    "iron-may-harm-base": pgettext_lazy("caution", "iron may harm the base"),
    "iron-too-hot": pgettext_lazy("caution", "iron too hot"),
}

RECKONING_WORDS: dict[str, Table] = {
    "standing": STANDINGS,
    "sureness": SURENESSES,
    "figure_basis": FIGURE_BASES,
    "confidence": CONFIDENCES,
    "taken_basis": TAKEN_BASES,
    "shape": SHAPES,
    "conformity": CONFORMITIES,
    "verdict": VERDICTS,
    "togetherness": TOGETHERNESS,
    "material": MATERIALS,
    "pair_quantity": PAIR_QUANTITIES,
    "option": OPTIONS,
    "warning": WARNINGS,
    "due_reason": DUE_REASONS,
    "need": NEEDS,
    "governor": GOVERNORS,
    "caution": CAUTIONS,
}
