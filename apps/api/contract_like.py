"""The operations that pool what is known of like skis."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import AfterValidator, BeforeValidator, Field, WithJsonSchema

from apps.api import problem_types as types
from apps.api.answers.like import LikeAnswer, SkiLikeAnswer
from apps.api.contract_skis import FOREIGN
from apps.api.like import like_answer
from apps.api.openapi_texts import SKIS
from apps.api.operations import Answer, Operation
from apps.api.query import Query, Whole
from apps.records.decimals import FixedStep
from apps.records.examples import SKI
from apps.records.forms import Mode, fault
from apps.records.texts import LABEL_LENGTH, text_form
from apps.records.vocabulary import Construction, Use
from apps.records.words import Word
from apps.registry.like_search import Kind, LikeSkis, Stated
from apps.tuning.likeness import BANDS, SkiDescribed, how_like
from apps.tuning.model_text import model_text
from apps.tuning.pooling import Told

WAIST = FixedStep("0.1", "30.0", "250.0", "mm", "give the waist in millimetres")


def _text(value: object) -> object:
    return text_form(LABEL_LENGTH).check(str(value), Mode(draft=True))


def _telling(value: str) -> str:
    if not model_text(None, value).model:
        raise fault(
            "no-model", "Give the model as printed on the ski, with a letter or a number in it."
        )
    return value


def _waist(value: object) -> object:
    return float(WAIST.read(value, Mode(draft=True)))


def _listed(words: type[Word]) -> dict[str, Any]:
    return {"type": "string", "enum": [word.value for word in words]}


Printed = Annotated[str, BeforeValidator(_text)]
Waist = Annotated[
    float,
    BeforeValidator(_waist),
    WithJsonSchema({"type": "number", "minimum": 30, "maximum": 250}),
]
Year = Annotated[Whole, Field(ge=1930, le=2100)]
Length = Annotated[Whole, Field(ge=300, le=2600)]
# A parameter stands by itself in the contract, so its words are written out.
ConstructionWord = Annotated[Construction, WithJsonSchema(_listed(Construction))]
UseWord = Annotated[Use, WithJsonSchema(_listed(Use))]


class LikeQuery(Query):
    """What like skis are looked for by; what is left out is not compared."""

    model: Annotated[Printed, AfterValidator(_telling)] = Field(
        description="The model as printed on the ski; misspellings are found too. Needed."
    )
    maker: Printed | None = Field(default=None, description="The maker as printed on the ski.")
    year: Year | None = Field(default=None, description="Year of the model, 1930 to 2100.")
    length: Length | None = Field(
        default=None, description="Length as marked on the ski [mm], 300 to 2600."
    )
    construction: ConstructionWord | None = Field(default=None, description="How the ski is built.")
    use: UseWord | None = Field(default=None, description="What the ski is used for.")
    waist: Waist | None = Field(
        default=None, description="Width at the narrowest place [mm], 30.0 to 250.0."
    )

    def described(self) -> SkiDescribed:
        """Give it to the arithmetic."""
        return SkiDescribed(
            model_text(self.maker, self.model),
            self.year,
            self.length,
            self.construction,
            self.use,
            self.waist,
        )


PRIVACY = (
    "Nothing of a figure is shown unless three other shops and three skis stand behind it; counts "
    "are rounded down, ranges are widened, and no shop, ski or record is named. What the asking "
    "shop itself states never counts among the others and is shown apart, to it alone. Sold and "
    "retired skis count. What is usual by use is practice, and marked so."
)
POOLED = (
    "Bevels set, measured and specified; widths and radius measured and described; steel and base "
    "when first seen; what operations took off: each a distribution by itself, with one vote a "
    "shop, from the closest group of like skis that holds enough."
)


def _example() -> LikeSkis:
    asked = SkiDescribed(model_text("Corvid", "Scree 84"), 2019, 1720)
    told = tuple(
        Told(shop, bevel) for shop, bevel in (("a", 500), ("b", 750), ("c", 500), ("d", 1000))
    )
    likenesses = ((how_like(asked, asked),), (), ())
    stated = {Kind("base_bevel", "set"): Stated(told, (), (7, 0, 0), (0,) * len(BANDS))}
    return LikeSkis(asked, is_found=True, likenesses=likenesses, skis=(7, 0, 0), stated=stated)


def like_example() -> Any:
    """Give the example of an answer, computed."""
    return like_answer(_example()).model_dump(mode="json", exclude_none=True)


def ski_like_example() -> Any:
    """Give the example of the answer of one ski."""
    return {**like_example(), "ski": SKI}


LIKE = Operation(
    id="read_like",
    tag=SKIS,
    summary="What is known of skis like a model",
    description="Finds the skis of this node that are described like this, by the text of the "
    f"model and then by what else is given, and pools what benches state of them. {POOLED} "
    f"{PRIVACY}",
    answer=Answer("What is known of like skis.", LikeAnswer, like_example),
    cost="compute",
    query=LikeQuery,
)

SKI_LIKE = Operation(
    id="read_ski_like",
    tag=SKIS,
    summary="What is known of skis like this one",
    description="Finds the skis of this node that are described like this one, by the text of the "
    "model, year, length, construction, use and waist, and pools what benches state of them. The "
    f"ski itself doesn't count. {POOLED} {PRIVACY} {FOREIGN}",
    answer=Answer("What is known of like skis.", SkiLikeAnswer, ski_like_example),
    cost="compute",
    problems=(types.UNKNOWN_SKI,),
)
