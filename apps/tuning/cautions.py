"""The usual cautions at the bench, by operation, and which standard a binding is inspected by.

Nothing here computes or suggests a binding setting; that is for a trained technician with the
standard, the maker's procedure and a calibrated device.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from apps.tuning.errors import OutOfRangeError, TuningError

BASE_DAMAGE_FROM_C = 130
"""Surface damage of polyethylene bases is reported from about here; practice, a shop setting."""

IRON_WARNING_ABOVE_C = 150
"""Hotter than any wax label asks for; common practice, no source."""

SHORT_RENTAL_MOST_DAYS = 14

WAX_FUME_SOURCES = (
    "Freberg et al. 2010, Environ. Sci. Technol. 44(19)",
    "Freberg et al. 2014, Ann. Occup. Hyg. 58(5)",
)
PRACTICE_SOURCE = ("common practice, no source",)


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution, with what it rests on."""

    code: str
    sentence: str
    sources: tuple[str, ...]


CAUTIONS: dict[str, Caution] = {
    caution.code: caution
    for caution in (
        Caution(
            "sharp-edges",
            "Edges cut: handle the ski with cut-resistant gloves.",
            ("EN 388",),
        ),
        Caution(
            "no-gloves-at-wheel",
            "No gloves near a rotating stone, belt or wheel: it would draw the hand in.",
            PRACTICE_SOURCE,
        ),
        Caution(
            "grinding-dust",
            "Keep stone and steel dust out of the lungs and eyes: grind wet or with extraction, "
            "and wear eye protection.",
            PRACTICE_SOURCE,
        ),
        Caution(
            "steel-chips",
            "Filings and planed chips fly: wear eye protection.",
            PRACTICE_SOURCE,
        ),
        Caution(
            "repair-fume",
            "Melting or burning repair material gives off fume: ventilate.",
            PRACTICE_SOURCE,
        ),
        Caution(
            "glue-fume",
            "Glue and its cleaner give off vapour: ventilate and wear gloves that resist it.",
            PRACTICE_SOURCE,
        ),
        Caution(
            "wax-fume",
            "Wax fume goes deep into the lungs: use extraction or wax in the open air.",
            WAX_FUME_SOURCES,
        ),
        Caution(
            "no-flame-near-fluoropolymer",
            "Never a torch or a cigarette near a wax with fluoropolymer: its fume causes fever.",
            ("Shusterman 1993, Occup. Med. 8(3)",),
        ),
        Caution(
            "base-heat",
            "Keep the iron moving: a base takes damage from about 130 C.",
            PRACTICE_SOURCE,
        ),
        Caution(
            "binding-inspect-only",
            "Only inspect and record the result; settings are left to a trained technician with "
            "the standard and a calibrated device.",
            ("ISO 11088:2023", "ISO 13993:2019", "ISO 11110"),
        ),
    )
}

_WHEEL = ("sharp-edges", "no-gloves-at-wheel", "grinding-dust")
_HAND = ("sharp-edges", "steel-chips")
_GLUE = ("sharp-edges", "glue-fume")

_BY_OPERATION: dict[str, tuple[str, ...]] = {
    "stone_grind": _WHEEL,
    "belt_grind": _WHEEL,
    "structure": _WHEEL,
    "clean": ("sharp-edges",),
    "remove_rust": _HAND,
    "file_flat": _HAND,
    "scrape_steel": _HAND,
    "spot_flatten": _HAND,
    "plane_sidewall": _HAND,
    "side_bevel": _HAND,
    "base_bevel": _HAND,
    "remove_hardened_spot": _HAND,
    "deburr": _HAND,
    "polish_edge": _HAND,
    "detune": _HAND,
    "open_gouge": _HAND,
    "remove_excess": _HAND,
    "recut_groove": _HAND,
    "fill_gouge": ("sharp-edges", "repair-fume"),
    "patch_base": _GLUE,
    "replace_edge": _GLUE,
    "refix_edge": _GLUE,
    "repair_delamination": _GLUE,
    "prepare_base": ("sharp-edges", "wax-fume", "no-flame-near-fluoropolymer", "base-heat"),
    "wax": ("sharp-edges", "wax-fume", "no-flame-near-fluoropolymer", "base-heat"),
    "scrape_wax": ("sharp-edges",),
    "brush": ("sharp-edges",),
    "inspect_binding": ("binding-inspect-only",),
}


def cautions_for(operation: str) -> tuple[Caution, ...]:
    """The usual cautions of an operation.

    Parameters
    ----------
    operation : str
        A word of the step vocabulary.

    Returns
    -------
    tuple of Caution
        That of sharp edges alone for an operation that is not listed.
    """
    return tuple(CAUTIONS[code] for code in _BY_OPERATION.get(operation, ("sharp-edges",)))


def iron_cautions(
    iron_temperature_c: float, base_damage_from_c: float = BASE_DAMAGE_FROM_C
) -> tuple[Caution, ...]:
    """Warn of an iron hot enough to harm the base or hotter than waxes ask for.

    Parameters
    ----------
    iron_temperature_c : float
        Set temperature of the iron [C].
    base_damage_from_c : float
        Temperature from which the shop expects damage of a base [C]; practice.

    Returns
    -------
    tuple of Caution
        Empty when neither is reached.

    Notes
    -----
    Source: common practice, no source; labels ask for 110 to 150 C, and trade pages disagree on
    where damage begins.
    """
    found: list[Caution] = []
    if iron_temperature_c >= base_damage_from_c:
        sentence = (
            f"At {iron_temperature_c:g} C the base itself can take damage, which is reported from "
            f"about {base_damage_from_c:g} C: keep the iron moving and let the ski cool between."
        )
        found.append(Caution("iron-may-harm-base", sentence, PRACTICE_SOURCE))
    if iron_temperature_c > IRON_WARNING_ABOVE_C:
        sentence = (
            f"An iron of {iron_temperature_c:g} C is hotter than any usual wax asks for. "
            f"Set {IRON_WARNING_ABOVE_C} C or less, by the wax label."
        )
        found.append(Caution("iron-too-hot", sentence, PRACTICE_SOURCE))
    return tuple(found)


BindingUse = Literal["owned", "rented", "touring"]


@dataclass(frozen=True, slots=True)
class BindingStandard:
    """Which standard an inspection goes by; None where neither of the two applies."""

    standard: str | None
    sentence: str


def binding_standard(use: BindingUse, rented_days: int | None = None) -> BindingStandard:
    """Which standard the inspection of a binding goes by; never what to set.

    Parameters
    ----------
    use : {"owned", "rented", "touring"}
        Whose ski it is, or that it carries a touring binding.
    rented_days : int or None
        Days of rental; needed for "rented" and for nothing else.

    Returns
    -------
    BindingStandard
        ISO 11088:2023 for owned skis and rentals of 15 days or more, ISO 13993:2019 for shorter
        ones, neither for touring bindings.

    Raises
    ------
    TuningError
        If the days are missing for a rental or given for anything else.
    OutOfRangeError
        If the days are below 1.

    Notes
    -----
    Source: the scopes of ISO 11088:2023 and ISO 13993:2019.
    """
    if use != "rented":
        return _not_rented(use, rented_days)
    if rented_days is None:
        raise TuningError("rented_days is missing. Give the days of rental.", field="rented_days")
    if rented_days < 1:
        raise OutOfRangeError(
            f"rented_days is {rented_days}. Give 1 day or more.", field="rented_days"
        )
    if rented_days > SHORT_RENTAL_MOST_DAYS:
        return BindingStandard("ISO 11088:2023", "A rental of 15 days or more counts as owned.")
    return BindingStandard("ISO 13993:2019", "A rental of under 15 days has a standard of its own.")


def _not_rented(use: BindingUse, rented_days: int | None) -> BindingStandard:
    if rented_days is not None:
        raise TuningError(
            f"rented_days means nothing for a binding that is {use}. Leave it out.",
            field="rented_days",
        )
    if use == "owned":
        return BindingStandard("ISO 11088:2023", "Owned skis are inspected by this standard.")
    return BindingStandard(
        None,
        "Neither ISO 11088 nor ISO 13993 covers touring bindings. "
        "Look up which standard and which procedure of the maker apply.",
    )
