"""What the outlook of a fleet rests on: one query for the columns, and no work for a single ski."""

from __future__ import annotations

from apps.registry.models import Wear
from apps.tuning.history import MaterialQuantity
from apps.tuning.outlook import Fleet
from apps.tuning.practice import Practice
from apps.tuning.wear_pace import BY_THE_RECORDS, UseForecast, pace_of
from apps.tuning.wear_rates import shrink
from apps.tuning.wear_statistics import FIELDS, WearColumns, columns_of


def wear_columns(handle: str, quantity: MaterialQuantity) -> WearColumns:
    """Read what the readings and the use of a shop's skis come down to: one query.

    Skis that are retired, sold or missing are left out.
    """
    rows = Wear._default_manager.filter(shop=handle, quantity=quantity, in_fleet=True)
    return columns_of(rows.values_list(*FIELDS).iterator(chunk_size=5_000))


def worn_fleet(
    handle: str,
    quantity: MaterialQuantity,
    practice: Practice,
    forecast: UseForecast = BY_THE_RECORDS,
) -> Fleet:
    """Put a shop's fleet together for an outlook: its rates, its pace and the shop's least.

    Parameters
    ----------
    handle : str
        The shop.
    quantity : {"edge_height", "edge_width", "base_thickness"}
        What wears.
    practice : Practice
        The shop's least, and what stands in where too little was read.
    forecast : UseForecast
        What the shop expects of the use, in place of the records.
    """
    columns = wear_columns(handle, quantity)
    rates = shrink(columns, quantity, practice)
    return Fleet(columns, rates, pace_of(columns, forecast), practice.least_mm(quantity))
