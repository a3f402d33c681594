"""The usual cautions, and the scopes of the two binding standards (ISO 11088, ISO 13993)."""

import pytest

from apps.records.bench_words import Operation
from apps.tuning.cautions import CAUTIONS, binding_standard, cautions_for, iron_cautions
from apps.tuning.errors import OutOfRangeError, TuningError


def codes(operation: str) -> set[str]:
    return {caution.code for caution in cautions_for(operation)}


@pytest.mark.parametrize("operation", ["stone_grind", "belt_grind", "structure"])
def test_no_gloves_at_a_rotating_wheel(operation: str) -> None:
    assert {"sharp-edges", "no-gloves-at-wheel", "grinding-dust"} <= codes(operation)


@pytest.mark.parametrize("operation", ["side_bevel", "base_bevel", "deburr", "file_flat"])
def test_gloves_at_hand_work_on_edges(operation: str) -> None:
    assert "sharp-edges" in codes(operation)
    assert "no-gloves-at-wheel" not in codes(operation)


@pytest.mark.parametrize("operation", ["wax", "prepare_base"])
def test_wax_fume_and_open_flame(operation: str) -> None:
    assert {"wax-fume", "no-flame-near-fluoropolymer"} <= codes(operation)


def test_repair_sticks_need_air() -> None:
    assert "repair-fume" in codes("fill_gouge")


def test_every_word_of_the_bench_has_a_caution() -> None:
    assert all(cautions_for(operation.value) for operation in Operation)


def test_an_unlisted_operation_has_sharp_edges() -> None:
    assert codes("other") == {"sharp-edges"}


def test_every_caution_names_a_source() -> None:
    assert all(caution.sources for caution in CAUTIONS.values())
    assert "EN 388" in CAUTIONS["sharp-edges"].sources
    assert any("Freberg et al. 2010" in source for source in CAUTIONS["wax-fume"].sources)
    assert any("Freberg et al. 2014" in source for source in CAUTIONS["wax-fume"].sources)


# Common practice, no source: labels ask for 110 to 150, damage is reported from about 130.
@pytest.mark.parametrize(
    ("iron_c", "expected"),
    [
        (110.0, []),
        (129.0, []),
        (130.0, ["iron-may-harm-base"]),
        (150.0, ["iron-may-harm-base"]),
        (151.0, ["iron-may-harm-base", "iron-too-hot"]),
    ],
)
def test_iron_temperature(iron_c: float, expected: list[str]) -> None:
    assert [caution.code for caution in iron_cautions(iron_c)] == expected


def test_where_damage_begins_is_a_setting() -> None:
    assert iron_cautions(140.0, base_damage_from_c=145.0) == ()


def test_binding_inspection_is_a_record_only() -> None:
    (caution,) = cautions_for("inspect_binding")
    assert caution.code == "binding-inspect-only"
    assert {"ISO 11088:2023", "ISO 13993:2019"} <= set(caution.sources)


# Scopes of ISO 13993:2019 (rental under 15 days) and ISO 11088:2023 (owned, or 15 and more).
@pytest.mark.parametrize(
    ("days", "standard"),
    [(1, "ISO 13993:2019"), (14, "ISO 13993:2019"), (15, "ISO 11088:2023")],
)
def test_rental_by_days(days: int, standard: str) -> None:
    assert binding_standard("rented", days).standard == standard


def test_owned_and_touring() -> None:
    assert binding_standard("owned").standard == "ISO 11088:2023"
    assert binding_standard("touring").standard is None
    assert "touring" in binding_standard("touring").sentence


def test_days_belong_to_rentals() -> None:
    with pytest.raises(TuningError, match="missing") as missing:
        binding_standard("rented")
    with pytest.raises(OutOfRangeError, match="1 day or more") as none:
        binding_standard("rented", 0)
    with pytest.raises(TuningError, match="Leave it out") as extra:
        binding_standard("owned", 3)
    fields = {missing.value.field, none.value.field, extra.value.field}
    assert fields == {"rented_days"}
