"""Hypothesis strategies for well-formed drafts of every kind, as a client may send them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st

from apps.records.bench_words import FindingKind, Operation
from apps.records.examples import NODE, REFERRING, SKI, WITHOUT_SKI
from apps.records.exchange_words import (
    DisputeReason,
    DistinctSkiEvidence,
    ErasureReason,
    KeyEndReason,
    KeyHolder,
    SameSkiEvidence,
)
from apps.records.key_proof import prove
from apps.records.quantities import QUANTITIES, Quantity, Shape
from apps.records.signing import PrivateKey
from apps.records.step import FILLING
from apps.records.vocabulary import (
    BaseColour,
    Basis,
    Construction,
    CorrectionReason,
    Edge,
    Edges,
    FindingState,
    Moment,
    NotMeasured,
    RepairMethod,
    RetractionReason,
    Severity,
    SkiStatus,
    Station,
    StatusReason,
    Surface,
    Use,
    WaxClass,
)
from apps.records.words import Word

Draft = dict[str, Any]

letters = st.characters(categories=("L", "N", "P", "S"))
texts = st.text(letters, min_size=1, max_size=12)
record_ids = st.binary(min_size=32, max_size=32).map(bytes.hex)
tags = st.from_regex(r"[A-Za-z0-9]([A-Za-z0-9._-]{0,10}[A-Za-z0-9])?", fullmatch=True)
hours = st.integers(0, 23)
minutes = st.integers(0, 59)
days = st.dates(date(1950, 1, 1), date(2100, 12, 31)).map(str)
offsets = st.one_of(
    st.just("Z"), st.builds("{}{:02}:{:02}".format, st.sampled_from("+-"), hours, minutes)
)
moments = st.builds("{}T{:02}:{:02}:{:02}{}".format, days, hours, minutes, minutes, offsets)
performed_at = st.one_of(days, moments)
positions = st.integers(0, 2600)


def decimals(step: str, low: str, high: str) -> st.SearchStrategy[str | Decimal]:
    """Give multiples of a step in a range, written as a string or as a number."""
    unit = Decimal(step)
    counts = st.integers(int(Decimal(low) / unit), int(Decimal(high) / unit))
    numbers = counts.map(lambda count: count * unit)
    return st.one_of(numbers, numbers.map(lambda number: f"{number:f}"))


def worded(name: str, words: type[Word]) -> st.SearchStrategy[Draft]:
    """Give one word, with its text where it is `other`."""

    def with_text(word: Word) -> st.SearchStrategy[Draft]:
        if word == "other":
            return st.fixed_dictionaries({name: st.just("other"), f"{name}_text": texts})
        return st.just({name: word.value})

    return st.sampled_from(list(words)).flatmap(with_text)


def merged(*parts: st.SearchStrategy[Draft]) -> st.SearchStrategy[Draft]:
    """Merge several drawn dictionaries into one."""
    return st.tuples(*parts).map(lambda drawn: {k: v for part in drawn for k, v in part.items()})


def optional(**fields: st.SearchStrategy[Any]) -> st.SearchStrategy[Draft]:
    """Give a dictionary in which each field may be left out."""
    return st.fixed_dictionaries({}, optional=fields)


def words(members: type[Word]) -> st.SearchStrategy[str]:
    """Give one word of a list without `other`."""
    return st.sampled_from([word.value for word in members])


places = merged(
    st.fixed_dictionaries({"station": words(Station)}),
    optional(edge=words(Edge), surface=words(Surface), length_mm=st.integers(1, 2600)),
)
gap_profiles = st.lists(st.integers(0, 2500), min_size=2, max_size=6, unique=True).map(
    lambda xs: [{"x_mm": Decimal(x) / 10, "gap_um": x} for x in sorted(xs)]
)
width_profiles = st.lists(positions, min_size=2, max_size=6, unique=True).map(
    lambda places: [{"position_mm": place, "width_mm": "68.0"} for place in sorted(places)]
)
traces = st.fixed_dictionaries(
    {
        "spacing_um": decimals("0.1", "0.1", "1000"),
        "heights_um": st.lists(decimals("0.01", "-500", "500"), min_size=2, max_size=6),
    }
)


def readings(quantity: Quantity) -> st.SearchStrategy[Draft]:
    """Give the reading of a quantity in the field and form that it asks for."""
    spec = QUANTITIES[quantity]
    if spec.step is not None:
        return st.fixed_dictionaries(
            {"value": decimals(spec.step.step, spec.step.low, spec.step.high)},
            optional={"uncertainty": decimals(spec.step.step, "0", spec.step.high)},
        )
    if spec.shape is Shape.TRACE:
        return st.fixed_dictionaries({"trace": traces})
    gaps = quantity is Quantity.BASE_GAP_PROFILE
    return st.fixed_dictionaries({"profile": gap_profiles if gaps else width_profiles})


def _measurement(quantity: Quantity) -> st.SearchStrategy[Draft]:
    head = {"quantity": quantity.value, "edge": "left"}
    if quantity is Quantity.OTHER:
        head |= {"quantity_text": "mass", "unit_text": "g"}
    return merged(
        st.just(head),
        st.one_of(readings(quantity), worded("not_measured", NotMeasured)),
        optional(station=words(Station), moment=words(Moment), instrument=texts),
    )


measurements = st.sampled_from(list(Quantity)).flatmap(_measurement)
side_bevels = decimals("0.01", "0", "10")
bevel_settings = merged(
    st.fixed_dictionaries(
        {"edge": words(Edges), "base_bevel_deg": decimals("0.01", "0", "5")},
        optional={"basis": words(Basis), "facet_width_mm": decimals("0.01", "0", "30")},
    ),
    st.one_of(
        optional(side_bevel_deg=side_bevels),
        st.fixed_dictionaries({"side_angle_deg": decimals("0.01", "80", "90")}),
    ),
)
findings = merged(
    worded("what", FindingKind),
    st.fixed_dictionaries({"severity": words(Severity), "state": words(FindingState)}),
    optional(
        where=places,
        depth_mm=decimals("0.01", "0", "100"),
        width_mm=decimals("0.1", "0", "250"),
        remarks=texts,
        closes=st.fixed_dictionaries({"record": record_ids, "index": st.integers(0, 59)}),
    ),
)


def _step(head: Draft) -> st.SearchStrategy[Draft]:
    operation = Operation(head["operation"])
    extra: st.SearchStrategy[Draft] = st.just({})
    if operation is Operation.WAX:
        extra = merged(worded("wax_class", WaxClass), optional(iron_temperature_c=st.just(130)))
    elif operation in FILLING:
        extra = merged(worded("repair_method", RepairMethod), worded("repair_colour", BaseColour))
    return merged(
        st.just(head),
        extra,
        optional(
            edge=words(Edges),
            place=places,
            passes=st.integers(1, 200),
            base_removed_mm=decimals("0.001", "0", "2"),
            edge_height_removed_mm=decimals("0.001", "0", "2"),
            edge_width_removed_mm=decimals("0.001", "0", "3"),
        ),
    )


steps = worded("operation", Operation).flatmap(_step)


def several(items: st.SearchStrategy[Draft]) -> st.SearchStrategy[list[Draft]]:
    """Give a short list, which may be empty."""
    return st.lists(items, max_size=2)


BODIES: dict[str, st.SearchStrategy[Draft]] = {
    "description": merged(
        optional(
            length_mm=st.integers(300, 2600),
            shovel_width_mm=decimals("0.1", "100", "250"),
            waist_width_mm=decimals("0.1", "30", "100"),
            tail_width_mm=decimals("0.1", "100", "250"),
            model_year=st.integers(1930, 2100),
            model_text=texts,
            declared_radius_m=decimals("0.1", "3", "80"),
        ),
        worded("construction", Construction),
        worded("use", Use),
    ),
    "job": merged(
        st.fixed_dictionaries({"remarks": texts}),
        optional(
            findings=several(findings),
            steps=several(steps),
            measurements=several(measurements),
            bevel_settings=several(bevel_settings),
            target=st.fixed_dictionaries({"base_bevel_deg": decimals("0.01", "0", "5")}),
            technician=st.from_regex(r"[A-Za-z0-9][A-Za-z0-9._-]{0,31}", fullmatch=True),
        ),
    ),
    "measurement": measurements,
    "bevel-setting": bevel_settings,
    "usage": st.fixed_dictionaries({"days": st.integers(0, 400)}, optional={"remarks": texts}),
    "status": merged(
        st.fixed_dictionaries({"status": words(SkiStatus)}), worded("reason", StatusReason)
    ),
    "pair": st.fixed_dictionaries(
        {"other_ski": st.just({"shop": SKI["shop"], "tag": "another-ski.1"})}
    ),
}


def _replacement(kind: str) -> st.SearchStrategy[Draft]:
    return st.fixed_dictionaries(
        {"kind": st.just(kind), "performed_at": performed_at, "body": BODIES[kind]}
    )


BODIES["correction"] = merged(
    worded("reason", CorrectionReason),
    st.fixed_dictionaries({"replacement": st.sampled_from(list(BODIES)).flatmap(_replacement)}),
)
BODIES["retraction"] = worded("reason", RetractionReason)


def _evidence(members: type[Word]) -> st.SearchStrategy[Draft]:
    """Give words of evidence, none twice, with the text where `other` is among them."""

    def with_text(said: list[str]) -> st.SearchStrategy[Draft]:
        texted = {"evidence_text": texts} if "other" in said else {}
        return st.fixed_dictionaries({"evidence": st.just(said), **texted})

    choice = st.sampled_from([word.value for word in members])
    return st.lists(choice, min_size=1, unique=True).flatmap(with_text)


other_ski = st.fixed_dictionaries(
    {"other_ski": st.just({"shop": SKI["shop"], "tag": "another-ski.1"})}
)
key_shops = st.sampled_from(["fellbench", SKI["shop"], NODE])
keys = st.binary(min_size=32, max_size=32).map(PrivateKey.from_seed)


def _key_body(key: PrivateKey) -> st.SearchStrategy[Draft]:
    return st.fixed_dictionaries(
        {
            "shop": key_shops,
            "public": st.just(key.public.text),
            "held_by": words(KeyHolder),
            "proof": st.just(prove(key, SKI["shop"])),
        }
    )


BODIES["same-ski"] = merged(other_ski, _evidence(SameSkiEvidence), optional(remarks=texts))
BODIES["distinct-ski"] = merged(other_ski, _evidence(DistinctSkiEvidence), optional(remarks=texts))
BODIES["dispute"] = merged(worded("reason", DisputeReason), optional(remarks=texts))
BODIES["erasure"] = worded("reason", ErasureReason)
BODIES["key"] = keys.flatmap(_key_body)
BODIES["key-end"] = merged(
    st.fixed_dictionaries({"shop": key_shops, "key": keys.map(lambda key: key.key_id)}),
    worded("reason", KeyEndReason),
)

shops = st.sampled_from(["fellbench", SKI["shop"], "other-1@a.example"])


def drafts(kind: str) -> st.SearchStrategy[Draft]:
    """Give well-formed drafts of a kind."""
    referring = {"refers_to": st.lists(record_ids, min_size=1, max_size=1)}
    subject = {"ski": st.fixed_dictionaries({"shop": shops, "tag": tags})}
    return st.fixed_dictionaries(
        {
            **({} if kind in WITHOUT_SKI else subject),
            "performed_at": performed_at,
            "body": BODIES[kind],
            **(referring if kind in REFERRING else {}),
        }
    )
