"""The pairs of a fleet, compared: what drifted apart, and the tune that brings it together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from urllib.parse import urlencode

from apps.pages.addresses import ski_path
from apps.pages.numbers import Unit
from apps.pages.sentences.told import tell
from apps.registry.models.ski import shop_and_tag
from apps.registry.paired import OwnPair, own_pairs, pairs_now
from apps.tuning.history import EDGES, Edge
from apps.tuning.pairs import PairNow
from apps.tuning.pairs_difference import Togetherness
from apps.tuning.pairs_tune import PairTune, SkiTune
from apps.tuning.plan_request import Targets
from apps.tuning.standing import Face

# Comparing two skis folds two histories, so a page holds few pairs.
PAIRS_ON_A_PAGE = 20
FIRST: tuple[Togetherness, ...] = ("apart", "undecided", "together")


@dataclass(frozen=True, slots=True)
class Wanted:
    """A bevel that a tune sets [deg]."""

    edge: Edge
    face: Face
    deg: float


@dataclass(frozen=True, slots=True)
class TuneRow:
    """What is done to one ski of a pair.

    Parameters
    ----------
    tag : str
        The ski.
    wanted : tuple of Wanted
        What is set; empty where the ski has it already.
    verdict : str
        Whether it can be carried out.
    plan : str
        Address of this tune on the page that plans.
    """

    tag: str
    wanted: tuple[Wanted, ...]
    verdict: str
    plan: str


@dataclass(frozen=True, slots=True)
class TuneShown:
    """The tune that brings a pair together, and the steel it takes off both skis [mm]."""

    skis: tuple[TuneRow, ...]
    usual_mm: float
    low_mm: float
    high_mm: float


@dataclass(frozen=True, slots=True)
class PairRow:
    """A pair as the page shows it.

    Parameters
    ----------
    pair : OwnPair
        Which two.
    tag, other_tag : str
        Their tags.
    outcome : {"together", "apart", "undecided"}
        Of the pair as a whole; "" where the other ski is another shop's, whose history is not
        read here.
    apart, undecided, remarks : tuple of str
        Sentences.
    tune : TuneShown or None
        None where no bevel is apart.
    """

    pair: OwnPair
    tag: str
    other_tag: str
    outcome: Togetherness | None
    apart: tuple[str, ...] = ()
    undecided: tuple[str, ...] = ()
    remarks: tuple[str, ...] = ()
    tune: TuneShown | None = None

    @property
    def undecided_count(self) -> int:
        """How many things can't be told."""
        return len(self.undecided)


@dataclass(frozen=True, slots=True)
class PairsPage:
    """Some pairs, those that are apart first, and the tag after which the next ones begin."""

    rows: tuple[PairRow, ...]
    after: str

    @property
    def apart(self) -> int:
        """How many of them are apart."""
        return sum(row.outcome == "apart" for row in self.rows)


def pairs_page(handle: str, beginning: str, after: str, unit: Unit) -> PairsPage:
    """Read and compare some pairs of a fleet: a fixed number of queries.

    Parameters
    ----------
    handle : str
        Whose.
    beginning : str
        How the tag of one of the two begins; "" for any.
    after : str
        The tag after which to begin; "" for the first ones.
    unit : {"mm", "um"}
        In which small lengths are shown.
    """
    found = [pair for pair in own_pairs(handle) if _is_asked(pair, beginning)]
    listed = [pair for pair in found if _tag(pair.tag) > after]
    shown, rest = listed[:PAIRS_ON_A_PAGE], listed[PAIRS_ON_A_PAGE:]
    compared = pairs_now(handle, shown)
    rows = [_row(pair, compared.get(pair), unit) for pair in shown]
    return PairsPage(tuple(sorted(rows, key=_rank)), _tag(shown[-1].tag) if rest else "")


def _is_asked(pair: OwnPair, beginning: str) -> bool:
    return any(_tag(key).startswith(beginning) for key in (pair.tag, pair.other))


def _tag(key: str) -> str:
    return shop_and_tag(key)[1]


def _rank(row: PairRow) -> int:
    return FIRST.index(row.outcome) if row.outcome else len(FIRST)


def _row(pair: OwnPair, now: PairNow | None, unit: Unit) -> PairRow:
    tag, other = _tag(pair.tag), _tag(pair.other)
    if now is None:
        return PairRow(pair, tag, other, None)
    return PairRow(
        pair,
        tag,
        other,
        now.outcome,
        tuple(_sentences(now, "apart", unit)),
        tuple(_sentences(now, "undecided", unit)),
        tuple(tell(remark, unit) for remark in now.remarks),
        None if now.tune is None else _tune(pair, now.tune),
    )


def _sentences(now: PairNow, outcome: Togetherness, unit: Unit) -> Iterator[str]:
    return (tell(one.sentence, unit) for one in now.differences if one.outcome == outcome)


def _tune(pair: OwnPair, tune: PairTune) -> TuneShown:
    rows = (_tuned(pair.tag, tune.first), _tuned(pair.other, tune.second))
    cost = tune.cost
    return TuneShown(rows, cost.steel_usual_mm, cost.steel_low_mm, cost.steel_high_mm)


def _tuned(key: str, tune: SkiTune) -> TuneRow:
    shop, tag = shop_and_tag(key)
    wanted = tuple(_wanted(tune.targets))
    plan = f"{ski_path(shop, tag, 'plan')}?{urlencode(_fields(wanted))}"
    return TuneRow(tag, wanted, tune.verdict.outcome, plan)


def _wanted(targets: Targets) -> Iterator[Wanted]:
    for edge in EDGES:
        target = targets.of(edge)
        faces: Sequence[tuple[Face, float | None]] = (
            ("base", target.base_bevel_deg),
            ("side", target.side_bevel_deg),
        )
        for face, deg in faces:
            if deg is not None:
                yield Wanted(edge, face, deg)


def _fields(wanted: Iterable[Wanted]) -> dict[str, str]:
    # As the plan's form names them; a point is read in every language.
    return {f"{one.face}_{one.edge}": f"{one.deg:.2f}" for one in wanted}
