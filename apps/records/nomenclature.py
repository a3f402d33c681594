"""The tables of the nomenclature page: every field and word, with unit, range and source."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from apps.records.amendment import Replacement
from apps.records.bevel_setting import BevelSettingBodyDraft
from apps.records.frame import AnyEnvelope
from apps.records.kinds import KINDS
from apps.records.marked_page import renewed
from apps.records.quantities import QUANTITIES, Quantity, QuantitySpec
from apps.records.words import OWN, PRACTICE, Word

NONE = "—"
REQUEST_ONLY = "side_angle_deg"
ENVELOPE_FIELDS = ("format", "kind", "author", "key", "ski", "performed_at", "refers_to", "salt")
OWN_MODELS = frozenset(
    {
        "FindingReference",
        "CorrectionBody",
        "RetractionBody",
        "DisputeBody",
        "ErasureBody",
        "SameSkiBody",
        "DistinctSkiBody",
        "KeyBody",
        "KeyEndBody",
        "PairBody",
        "Replacement",
        "SkiTag",
    }
)
ANY_KIND: Mapping[str, dict[str, str]] = {
    "kind": {"x-range": "a kind below"},
    "refers_to": {"x-range": "list of none or one"},
    "body": {"x-range": "the body of its kind"},
}
LONGEST_PATTERN = 50
FIELD_HEAD = "| Field | Meaning | Unit | Range | Source |\n|---|---|---|---|---|\n"
WORD_HEAD = "| Word | Meaning | Source |\n|---|---|---|\n"
QUANTITY_HEAD = "| Quantity | Meaning | Unit | Range | Source |\n|---|---|---|---|---|\n"

Schema = dict[str, Any]


def definitions() -> dict[str, Schema]:
    """Give the schemas of everything below the envelopes by model name, sorted."""
    found: dict[str, Schema] = {}
    for spec in KINDS.values():
        found |= spec.record.model_json_schema(mode="serialization")["$defs"]
    return dict(sorted(found.items()))


def word_lists() -> dict[str, type[Word]]:
    """Give every closed word list of the schema by name, sorted, without the quantities."""
    used = {name for name, schema in definitions().items() if "enum" in schema}
    lists = {words.__name__: words for words in Word.__subclasses__()}
    return {name: lists[name] for name in sorted(used - {Quantity.__name__})}


def sections() -> dict[str, str]:
    """Give each generated section of the page by its mark."""
    return {
        "envelope": FIELD_HEAD + "".join(_envelope_rows()),
        "kinds": "".join(_kind_lines()),
        "bodies": "\n".join(_model_tables()),
        "quantities": QUANTITY_HEAD + "".join(map(_quantity_row, Quantity)),
        "words": "\n".join(map(_word_table, word_lists().values())),
    }


def with_sections(page: str) -> str:
    """Give the page with every generated section made anew.

    Parameters
    ----------
    page : str
        Text with a `<!-- begin NAME -->` and an `<!-- end NAME -->` line for each section.

    Raises
    ------
    ValueError
        A section has no marks on the page.
    """
    for name, text in sections().items():
        page = renewed(page, name, text, what=f"section {name}")
    return page


def _envelope_rows() -> Iterator[str]:
    properties = KINDS["correction"].record.model_json_schema(mode="serialization")["properties"]
    properties |= AnyEnvelope.model_json_schema(mode="serialization")["properties"]
    for name in ENVELOPE_FIELDS:
        yield _field_row(name, properties[name] | ANY_KIND.get(name, {}), OWN)


def _kind_lines() -> Iterator[str]:
    for kind, spec in KINDS.items():
        meaning = (spec.body.__doc__ or "").partition("\n")[0]
        yield f"- `{kind}`: {meaning} Body: {_link(spec.body.__name__)}.\n"


def _model_tables() -> Iterator[str]:
    for name, schema in definitions().items():
        if "properties" in schema and not name.endswith("Replacement"):
            yield _model_table(name, schema["description"], _properties(name, schema))
    replacement = definitions()["JobReplacement"]["properties"].items()
    rows = ((field, schema | ANY_KIND.get(field, {})) for field, schema in replacement)
    yield _model_table("Replacement", Replacement.__doc__ or "", rows)


def _model_table(name: str, description: str, fields: Iterable[tuple[str, Schema]]) -> str:
    source = OWN if name in OWN_MODELS else PRACTICE
    rows = "".join(_field_row(field, schema, source) for field, schema in fields)
    return f"### {name}\n\n{_line(description)}\n\n{FIELD_HEAD}{rows}"


def _properties(name: str, schema: Schema) -> Iterator[tuple[str, Schema]]:
    yield from schema["properties"].items()
    if name == "BevelSettingBody":
        draft = BevelSettingBodyDraft.model_json_schema(mode="serialization")
        yield REQUEST_ONLY, draft["properties"][REQUEST_ONLY]


def _field_row(name: str, schema: Schema, source: str) -> str:
    meaning = _line(schema["description"])
    unit = schema.get("x-unit", NONE)
    return (
        f"| `{name}` | {meaning} | {unit} | {_range(schema)} | {schema.get('x-source', source)} |\n"
    )


def _quantity_row(quantity: Quantity) -> str:
    spec = QUANTITIES[quantity]
    unit = spec.uncertainty.unit or "`unit_text`"
    return (
        f"| `{quantity}` | {quantity.meaning} | {unit} | {_quantity_range(spec)} "
        f"| {quantity.source} |\n"
    )


def _quantity_range(spec: QuantitySpec) -> str:
    if spec.step is None:
        return f"as `{spec.shape}`"
    edge = ", with `edge`" if spec.needs_edge else ""
    return f"{spec.step.low} to {spec.step.high}, step {spec.step.step}{edge}"


def _word_table(words: type[Word]) -> str:
    rows = "".join(f"| `{word}` | {word.meaning} | {word.source} |\n" for word in words)
    return f"### {words.__name__}\n\n{_line(words.__doc__ or '')}\n\n{WORD_HEAD}{rows}"


def _range(schema: Schema) -> str:
    """Say in a few words which values a field's schema allows."""
    return next((say(schema) for key, say in _RANGES if key in schema), NONE)


def _link(name: str) -> str:
    # The quantities have a chapter of their own, with their units and ranges.
    anchor = "quantities" if name == Quantity.__name__ else name.lower()
    return f"[{name}](#{anchor})"


def _referred(schema: Schema) -> str:
    return _link(schema["$ref"].rpartition("/")[2])


def _fixed_step(schema: Schema) -> str:
    return f"{schema['x-minimum']} to {schema['x-maximum']}, step {schema['x-step']}"


def _between(schema: Schema) -> str:
    return f"{schema['minimum']} to {schema['maximum']}"


def _listed(schema: Schema) -> str:
    return f"list of {schema['minItems']} to {schema['maxItems']}"


def _written(schema: Schema) -> str:
    pattern = str(schema["pattern"])
    return f"`{pattern}`".replace("|", "\\|") if len(pattern) <= LONGEST_PATTERN else "as said"


def _text(schema: Schema) -> str:
    return f"text, up to {schema['maxLength']} characters"


def _given(schema: Schema) -> str:
    return str(schema["x-range"])


_RANGES: tuple[tuple[str, Callable[[Schema], str]], ...] = (
    ("x-range", _given),
    ("$ref", _referred),
    ("x-step", _fixed_step),
    ("minimum", _between),
    ("minItems", _listed),
    ("pattern", _written),
    ("maxLength", _text),
)


def _line(text: str) -> str:
    return " ".join(text.split())
