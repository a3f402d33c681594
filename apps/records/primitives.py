"""The types that fields are made of; each is one written form with its unit, step and range."""

from __future__ import annotations

from decimal import Decimal
from typing import Annotated

from pydantic import Field, StrictInt

from apps.records.decimals import FixedStep
from apps.records.forms import Form
from apps.records.moments import DAY_PATTERN, read_day
from apps.records.names import (
    ALIAS_FORM,
    GIAI_FORM,
    GRAI_FORM,
    HANDLE_FORM,
    KEY_ID_FORM,
    NODE_HANDLE_FORM,
    PUBLIC_KEY_FORM,
    RECORD_ID_FORM,
    SALT_FORM,
    SHOP_HANDLE_FORM,
    SIGNATURE_FORM,
    TAG_FORM,
)
from apps.records.texts import LABEL_LENGTH, REMARKS_LENGTH, text_form

Handle = Annotated[str, HANDLE_FORM]
ShopHandle = Annotated[str, SHOP_HANDLE_FORM]
NodeHandle = Annotated[str, NODE_HANDLE_FORM]
Tag = Annotated[str, TAG_FORM]
RecordId = Annotated[str, RECORD_ID_FORM]
KeyId = Annotated[str, KEY_ID_FORM]
PublicKeyText = Annotated[str, PUBLIC_KEY_FORM]
SignatureText = Annotated[str, SIGNATURE_FORM]
Salt = Annotated[str, SALT_FORM]
Alias = Annotated[str, ALIAS_FORM]
Giai = Annotated[str, GIAI_FORM]
Grai = Annotated[str, GRAI_FORM]
Label = Annotated[str, text_form(LABEL_LENGTH)]
Remarks = Annotated[str, text_form(REMARKS_LENGTH, newlines=True)]
Day = Annotated[str, Form(read_day, {"pattern": DAY_PATTERN})]


def whole(low: int, high: int, unit: str) -> object:
    """Make the field info of a whole number [unit] from `low` to `high`, both allowed."""
    return Field(ge=low, le=high, json_schema_extra={"x-unit": unit})


MarkedLength = Annotated[StrictInt, whole(300, 2600, "mm")]
ChordLength = Annotated[StrictInt, whole(200, 2500, "mm")]
Position = Annotated[StrictInt, whole(0, 2600, "mm")]
Extent = Annotated[StrictInt, whole(1, 2600, "mm")]
ModelYear = Annotated[StrictInt, whole(1930, 2100, "a")]
Days = Annotated[StrictInt, whole(0, 400, "d")]
Passes = Annotated[StrictInt, whole(1, 200, "1")]
IronTemperature = Annotated[StrictInt, whole(60, 220, "°C")]
Gap = Annotated[StrictInt, whole(0, 5000, "um")]
FindingIndex = Annotated[StrictInt, whole(0, 59, "1")]

Width = Annotated[Decimal, FixedStep("0.1", "30.0", "250.0", "mm")]
GrooveWidth = Annotated[Decimal, FixedStep("0.1", "0.0", "20.0", "mm")]
Radius = Annotated[Decimal, FixedStep("0.1", "3.0", "80.0", "m")]
BASE_MEND = "give the bevel from the base plane, e.g. 0.5"
SIDE_MEND = "give the bevel from square, e.g. 2, or in a request side_angle_deg 88"
ANGLE_MEND = "give the angle of the side edge, e.g. 88, or side_bevel_deg 2"
BaseBevel = Annotated[Decimal, FixedStep("0.01", "0.00", "5.00", "deg", BASE_MEND)]
SideBevel = Annotated[Decimal, FixedStep("0.01", "0.00", "10.00", "deg", SIDE_MEND)]
SideAngle = Annotated[Decimal, FixedStep("0.01", "80.00", "90.00", "deg", ANGLE_MEND)]
BevelUncertainty = Annotated[Decimal, FixedStep("0.01", "0.00", "10.00", "deg")]
FacetWidth = Annotated[Decimal, FixedStep("0.01", "0.00", "30.00", "mm")]
BaseRemoved = Annotated[Decimal, FixedStep("0.001", "0.000", "2.000", "mm")]
HeightRemoved = Annotated[Decimal, FixedStep("0.001", "0.000", "2.000", "mm")]
WidthRemoved = Annotated[Decimal, FixedStep("0.001", "0.000", "3.000", "mm")]
FlatnessTolerance = Annotated[Decimal, FixedStep("0.001", "0.000", "5.000", "mm")]
FindingDepth = Annotated[Decimal, FixedStep("0.01", "0.00", "100.00", "mm")]
FindingWidth = Annotated[Decimal, FixedStep("0.1", "0.0", "250.0", "mm")]
ProfileX = Annotated[Decimal, FixedStep("0.1", "0.0", "250.0", "mm")]
TraceSpacing = Annotated[Decimal, FixedStep("0.1", "0.1", "1000.0", "um")]
TraceHeight = Annotated[Decimal, FixedStep("0.01", "-500.00", "500.00", "um")]
