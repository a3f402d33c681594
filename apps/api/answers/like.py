"""What benches state of like skis, pooled: no shop, no ski and no record is named."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from apps.api.answers.base import AnswerModel
from apps.api.answers.figures import (
    Degrees,
    MaterialName,
    Metres,
    Millimetres,
    Services,
    WidthMillimetres,
)
from apps.records.place import SkiTag
from apps.records.vocabulary import Construction, Use

Count = Annotated[int, Field(ge=3)]
Band = Literal["close", "near", "wide"]
Score = Services

MEDIAN = "Median, each shop having one vote"
LOWER = "Lower quartile"
UPPER = "Upper quartile"
LOW = "Lower end of the range, widened to a coarse step"
HIGH = "Upper end of the range, widened to a coarse step"


class BevelSpread(AnswerModel):
    """A distribution of bevels [deg]."""

    median_deg: Degrees = Field(description=f"{MEDIAN} [deg].")
    lower_quartile_deg: Degrees = Field(description=f"{LOWER} [deg].")
    upper_quartile_deg: Degrees = Field(description=f"{UPPER} [deg].")
    low_deg: Degrees = Field(description=f"{LOW} [deg].")
    high_deg: Degrees = Field(description=f"{HIGH} [deg].")


class WidthSpread(AnswerModel):
    """A distribution of widths or chords [mm]."""

    median_mm: WidthMillimetres = Field(description=f"{MEDIAN} [mm].")
    lower_quartile_mm: WidthMillimetres = Field(description=f"{LOWER} [mm].")
    upper_quartile_mm: WidthMillimetres = Field(description=f"{UPPER} [mm].")
    low_mm: WidthMillimetres = Field(description=f"{LOW} [mm].")
    high_mm: WidthMillimetres = Field(description=f"{HIGH} [mm].")


class MaterialSpread(AnswerModel):
    """A distribution of steel or base, left or taken off [mm]."""

    median_mm: Millimetres = Field(description=f"{MEDIAN} [mm].")
    lower_quartile_mm: Millimetres = Field(description=f"{LOWER} [mm].")
    upper_quartile_mm: Millimetres = Field(description=f"{UPPER} [mm].")
    low_mm: Millimetres = Field(description=f"{LOW} [mm].")
    high_mm: Millimetres = Field(description=f"{HIGH} [mm].")


class RadiusSpread(AnswerModel):
    """A distribution of sidecut radii [m]."""

    median_m: Metres = Field(description=f"{MEDIAN} [m].")
    lower_quartile_m: Metres = Field(description=f"{LOWER} [m].")
    upper_quartile_m: Metres = Field(description=f"{UPPER} [m].")
    low_m: Metres = Field(description=f"{LOW} [m].")
    high_m: Metres = Field(description=f"{HIGH} [m].")


class PooledAnswer(AnswerModel):
    """What stands behind a distribution of other shops, or why none is shown."""

    code: Literal["pooled", "fewer-than-three-shops", "fewer-than-three-skis"] = Field(
        description="Whether it is shown; none, one and two shops are not told apart."
    )
    sentence: str = Field(description="For a person.")
    shops: Count | None = Field(
        default=None, description="Other shops behind it, rounded down to 3, 5, 10, 20, 50 …"
    )
    skis: Count | None = Field(
        default=None, description="Skis behind it, rounded down to 3, 5, 10, 20, 50 …"
    )
    group: Band | None = Field(
        default=None,
        description="The closest group of like skis that holds enough; `groups` says why.",
    )
    least_likeness: Score | None = Field(
        default=None, description="How like the least like of these skis is, 0 to 1."
    )
    method: str = Field(description="Name of the rule that pooled it.")
    own_skis: int | None = Field(
        default=None, description="Skis behind the own distribution; absent when there are none."
    )


class BevelPool(PooledAnswer):
    """Bevels of like skis, both edges together."""

    bevel: Literal["base", "side"] = Field(description="Which bevel.")
    basis: Literal["set", "measured", "specified"] = Field(
        description="Set by a bench, measured, or specified by the maker: never mixed."
    )
    others: BevelSpread | None = Field(default=None, description="Of other shops.")
    own: BevelSpread | None = Field(default=None, description="Of the asking shop itself.")


class WidthPool(PooledAnswer):
    """A width or the chord of like skis."""

    of: Literal["shovel", "waist", "tail", "chord"] = Field(description="Which width.")
    source: Literal["measured", "described"] = Field(
        description="Measured by benches, or as descriptions say."
    )
    others: WidthSpread | None = Field(default=None, description="Of other shops.")
    own: WidthSpread | None = Field(default=None, description="Of the asking shop itself.")


class RadiusPool(PooledAnswer):
    """Sidecut radius of like skis."""

    source: Literal["measured", "declared"] = Field(
        description="Measured by benches, or as printed on the ski."
    )
    others: RadiusSpread | None = Field(default=None, description="Of other shops.")
    own: RadiusSpread | None = Field(default=None, description="Of the asking shop itself.")


class FirstSeenPool(PooledAnswer):
    """Steel or base of like skis when a bench first measured them."""

    quantity: MaterialName = Field(description="What was measured.")
    others: MaterialSpread | None = Field(default=None, description="Of other shops.")
    own: MaterialSpread | None = Field(default=None, description="Of the asking shop itself.")


class TookOffPool(PooledAnswer):
    """What one run of an operation took off like skis."""

    operation: str = Field(description="The operation.")
    quantity: MaterialName = Field(description="What it took off.")
    source: Literal["stated", "readings"] = Field(
        description="As the bench stated it, or the difference of readings before and after."
    )
    others: MaterialSpread | None = Field(default=None, description="Of other shops.")
    own: MaterialSpread | None = Field(default=None, description="Of the asking shop itself.")


class LikeGroup(AnswerModel):
    """The skis that are at least so like; a wider group holds the closer ones too."""

    group: Band = Field(description="Its name.")
    least_likeness: Score = Field(description="Least likeness in it, 0 to 1.")
    shops: Count = Field(description="Other shops that state anything of them, rounded down.")
    skis: Count = Field(description="Skis of which they do, rounded down.")
    why: list[str] = Field(description="Part by part, how like they are.")


class UsualAnswer(AnswerModel):
    """Bevels that are usual by use: practice, with no source."""

    kind: str = Field(description="Kind of ski.")
    base_low_deg: Degrees = Field(description="Base bevel, from [deg].")
    base_high_deg: Degrees = Field(description="Base bevel, to [deg].")
    side_low_deg: Degrees | None = Field(default=None, description="Side bevel, from [deg].")
    side_high_deg: Degrees | None = Field(default=None, description="Side bevel, to [deg].")
    sentence: str = Field(description="For a person.")
    basis: Literal["practice"] = Field(description="What it rests on.")


class AskedAnswer(AnswerModel):
    """What like skis were looked for by; what is absent was not compared."""

    model: str | None = Field(default=None, description="Model text, made comparable.")
    maker: str | None = Field(default=None, description="Maker, made comparable.")
    year: int | None = Field(default=None, description="Year of the model.")
    length_mm: int | None = Field(default=None, description="Length as marked [mm].")
    construction: Construction | None = Field(default=None, description="How the ski is built.")
    use: Use | None = Field(default=None, description="What the ski is used for.")
    waist_width_mm: WidthMillimetres | None = Field(
        default=None, description="Width at the narrowest place [mm]."
    )


class LikeAnswer(AnswerModel):
    """What is known of like skis on this node; it rests on counts, since records would name."""

    asked: AskedAnswer = Field(description="What was looked for.")
    outcome: Literal[
        "pooled",
        "fewer-than-three-shops",
        "fewer-than-three-skis",
        "no-like-ski",
        "no-model-text",
    ] = Field(description="Whether anything of other shops is shown, and if not, why.")
    sentence: str = Field(description="For a person.")
    would_help: list[str] = Field(description="What would bring a better answer.")
    method: str = Field(description="Name of the rule by which likeness is reckoned.")
    groups: list[LikeGroup] = Field(description="The like skis, the closest group first.")
    bevels: list[BevelPool] = Field(description="Base and side, by what they rest on.")
    widths: list[WidthPool] = Field(description="Widths and chord.")
    radius: list[RadiusPool] = Field(description="Turn radius.")
    first_seen: list[FirstSeenPool] = Field(description="Steel and base when first seen.")
    took_off: list[TookOffPool] = Field(
        description="What operations took off; those that neither three other shops nor the "
        "asking one state are left out."
    )
    usual: list[UsualAnswer] = Field(description="Usual bevels by use; practice.")


class SkiLikeAnswer(LikeAnswer):
    """What is known of skis like one, without that ski itself."""

    ski: SkiTag = Field(description="The ski that was asked for.")
