"""The usual cautions at the bench; nothing here sets a binding."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils.translation import gettext_lazy as _

if TYPE_CHECKING:
    from apps.pages.sentences.templates import Templates

CAUTIONS: Templates = {
    "sharp-edges": _("Edges cut: handle the ski with cut-resistant gloves."),
    "no-gloves-at-wheel": _(
        "No gloves near a turning stone, belt or wheel: it would draw the hand in."
    ),
    "grinding-dust": _(
        "Keep stone and steel dust out of lungs and eyes: grind wet or with extraction, and wear "
        "eye protection."
    ),
    "steel-chips": _("Filings and planed chips fly: wear eye protection."),
    "repair-fume": _("Melting or burning repair material gives off fume: ventilate."),
    "glue-fume": _(
        "Glue and its cleaner give off vapour: ventilate, and wear gloves that resist it."
    ),
    "wax-fume": _("Wax fume goes deep into the lungs: use extraction or wax in the open air."),
    "no-flame-near-fluoropolymer": _(
        "Never a torch or a cigarette near a wax with fluoropolymer: its fume causes fever."
    ),
    "base-heat": _("Keep the iron moving: a base takes damage from about 130 °C."),
    "binding-inspect-only": _(
        "Only inspect and record the result. Settings are left to a trained technician with the "
        "standard and a calibrated device."
    ),
    "iron-may-harm-base": _(
        "This iron is hot enough to damage the base, which is reported from about 130 °C: keep it "
        "moving and let the ski cool between."
    ),
    "iron-too-hot": _(
        "This iron is hotter than any usual wax asks for. Set 150 °C or less, by the wax label."
    ),
}


def caution_sentence(code: str) -> str:
    """Tell a caution by its code."""
    return str(CAUTIONS[code])
