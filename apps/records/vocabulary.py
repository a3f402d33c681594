"""The closed word lists of the schema; the trade's words, each with its meaning."""

from __future__ import annotations

from apps.records.words import OWN, Word

VOCABULARY = "ISO 6289:2025 (the vocabulary standard; page not seen)"


class Construction(Word):
    """How the body of the ski is built."""

    SANDWICH = "sandwich", "Layers glued on a core, with a sidewall that can be seen and planed."
    CAP = "cap", "The top layer is drawn down over the core to the edge; there is no sidewall."
    TORSION_BOX = "torsion_box", "The core is wrapped all round in fibre."
    SHELL = "shell", "A stiff outer shell carries the load over a light core."
    OTHER = "other", "Another construction; `construction_text` says which."


class BaseMaterial(Word):
    """How the polyethylene of the base was made."""

    SINTERED = "sintered", "Pressed from powder: harder, takes up wax."
    EXTRUDED = "extruded", "Drawn from the melt: cheaper, easy to repair, takes up little wax."
    OTHER = "other", "Another base; `base_material_text` says which."


class BaseColour(Word):
    """Colour of the base, or of the material it is mended with."""

    BLACK = "black", "Black, as a rule with graphite or soot."
    CLEAR = "clear", "Without colour, see-through."
    WHITE = "white", "White."
    COLOURED = "coloured", "In one or more colours, or with a printed picture."
    OTHER = "other", "Another look; the text beside it says which."


class Use(Word):
    """What the ski is used for."""

    PISTE = "piste", "Groomed slopes."
    RACE_SLALOM = "race_slalom", "Slalom racing."
    RACE_GIANT = "race_giant", "Giant slalom and faster racing."
    ALL_MOUNTAIN = "all_mountain", "On and off the groomed slope."
    PARK = "park", "Park and pipe; edges are often dulled under the foot."
    TOURING = "touring", "Ski touring; thin bases and edges."
    RENTAL = "rental", "Hired out to changing guests."
    JUMP = "jump", "Ski jumping."
    NORDIC = "nordic", "Cross-country skiing."
    OTHER = "other", "Another use; `use_text` says which."


class Edge(Word):
    """One steel edge, seen from above with the tip forward."""

    LEFT = "left", "The edge on the left, seen from above with the tip forward."
    RIGHT = "right", "The edge on the right, seen from above with the tip forward."


class Edges(Word):
    """One or both steel edges, seen from above with the tip forward."""

    LEFT = "left", "The edge on the left, seen from above with the tip forward."
    RIGHT = "right", "The edge on the right, seen from above with the tip forward."
    BOTH = "both", "Both edges alike."


class Surface(Word):
    """A surface of the ski, seen from above with the tip forward."""

    BASE = "base", "The running surface."
    LEFT_SIDE = "left_side", "The side face on the left: edge and sidewall."
    RIGHT_SIDE = "right_side", "The side face on the right: edge and sidewall."
    TOP = "top", "The topsheet."


class Station(Word):
    """A named place along the ski."""

    TIP = "tip", "The upturned front end.", VOCABULARY
    SHOVEL = "shovel", "The widest place at the front.", VOCABULARY
    FOREBODY = "forebody", "Between shovel and waist."
    WAIST = "waist", "The narrowest place.", VOCABULARY
    REARBODY = "rearbody", "Between waist and tail."
    TAIL = "tail", "The widest place at the rear, and what lies behind it.", VOCABULARY


class Moment(Word):
    """Whether a reading was taken before or after the work of the same visit."""

    BEFORE = "before", "Before the work began: the state as found."
    AFTER = "after", "After the work was done: the state as handed out."


class NotMeasured(Word):
    """Why a quantity has no reading: unknown is not none."""

    NO_GAUGE = "no_gauge", "The bench has no gauge for it."
    NOT_REACHABLE = "not_reachable", "The place can't be reached with the gauge."
    DAMAGED = "damaged", "The place is damaged, so that a reading would mean nothing."
    OTHER = "other", "Another reason; `not_measured_text` says which."


class Basis(Word):
    """Where a bevel comes from."""

    SET = "set", "The bench worked the edge with a guide at this bevel."
    MEASURED = "measured", "Read with a gauge."
    SPECIFIED = "specified", "Stated by the maker of the ski."


class Severity(Word):
    """How bad a finding is."""

    SLIGHT = "slight", "Seen or felt, without effect on skiing or on the next grind."
    MODERATE = "moderate", "To be mended at this or the next service."
    SEVERE = "severe", "To be mended before the ski goes out."


class FindingState(Word):
    """Whether a finding was mended in this visit."""

    OPEN = "open", "Left as it is."
    REPAIRED = "repaired", "Mended in this visit."


class RepairMethod(Word):
    """How base material was filled in."""

    DRIP = "drip", "A burning stick of base material is dripped into the gouge."
    EXTRUDER = "extruder", "Molten material pressed in from a heated gun."
    WELD = "weld", "Base material welded in with a hot tip."
    PATCH = "patch", "A piece of base let in and glued."
    POWDER = "powder", "Powder melted in under the iron."
    OTHER = "other", "Another method; `repair_method_text` says which."


class WaxClass(Word):
    """Kind of wax, by what it is for; never a product."""

    UNIVERSAL = "universal", "For all temperatures."
    COLD = "cold", "For cold, hard snow."
    COOL = "cool", "Between cold and mild."
    MILD = "mild", "For snow near the melting point."
    WARM = "warm", "For wet snow."
    BASE_PREP = "base_prep", "To clean or to fill up the base before the running wax."
    LIQUID = "liquid", "Rubbed or sprayed on, without an iron."
    OTHER = "other", "Another wax; `wax_class_text` says which."


class InspectedAs(Word):
    """The rule book by which a binding was inspected."""

    OWNED_OR_LONG_RENTAL = (
        "owned_or_long_rental",
        "Owned, or rented for 15 days and more.",
        "ISO 11088:2023",
    )
    SHORT_RENTAL = "short_rental", "Rented for under 15 days.", "ISO 13993:2019"
    OTHER = "other", "Another rule book; `inspected_as_text` says which."


class Outcome(Word):
    """What a binding inspection came to; a bare result, never a setting."""

    PASSED = "passed", "The trained technician found it in order."
    FAILED = "failed", "The trained technician found it not in order."
    NOT_DONE = "not_done", "It was not inspected."


class SkiStatus(Word):
    """Where a ski stands in its shop."""

    IN_SERVICE = "in_service", "In use or ready for it."
    ON_BENCH = "on_bench", "At the bench."
    QUARANTINED = "quarantined", "Held back after an accident, until it was looked at."
    RETIRED = "retired", "Taken out of use for good; the reason is given."
    SOLD = "sold", "Sold on."
    MISSING = "missing", "Reported missing."


class StatusReason(Word):
    """Why the status changed."""

    WORN_OUT = "worn_out", "Too little steel or base is left."
    DAMAGED = "damaged", "Damaged past mending."
    ACCIDENT = "accident", "Part of an accident."
    DELAMINATED = "delaminated", "The layers have parted."
    LOST = "lost", "Lost or stolen."
    SOLD_ON = "sold_on", "Sold on."
    OTHER = "other", "Another reason; `reason_text` says which."


class CorrectionReason(Word):
    """Why a record is replaced by its author."""

    TYPING_ERROR = "typing_error", "A slip of the keys.", OWN
    WRONG_VALUE = "wrong_value", "The reading was wrong.", OWN
    WRONG_DATE = "wrong_date", "The date was wrong.", OWN
    WRONG_UNIT = "wrong_unit", "The value was given in another unit.", OWN
    OMITTED = "omitted", "Something had been left out.", OWN
    OTHER = "other", "Another reason; `reason_text` says which.", OWN


class RetractionReason(Word):
    """Why a record is taken back by its author."""

    ENTERED_BY_MISTAKE = "entered_by_mistake", "It should never have been written.", OWN
    WRONG_SKI = "wrong_ski", "It belongs to another ski.", OWN
    DUPLICATE = "duplicate", "It says again what another record says.", OWN
    WITHDRAWN = "withdrawn", "The author no longer stands by it.", OWN
    OTHER = "other", "Another reason; `reason_text` says which.", OWN
