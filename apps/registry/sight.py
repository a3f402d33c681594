"""A ski as a shop sees it: its history read, folded, and weighed by that shop's practice."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils import timezone

from apps.records.folding import Fold, Folded
from apps.registry.descriptions import Described, described
from apps.registry.histories import read_fold
from apps.registry.joining import JoinedSki
from apps.registry.own_rates import own_rates
from apps.registry.practices import practice_of
from apps.registry.visits import visits_of
from apps.tuning import condition as state
from apps.tuning.history import Visit
from apps.tuning.practice import Practice
from apps.tuning.rates import LearnedRate


@dataclass(frozen=True, slots=True)
class Sight:
    """A ski as a shop sees it.

    Parameters
    ----------
    ski : JoinedSki
        The tag that was asked for, with those that were joined to it.
    practice : Practice
        That of the shop that asks, since it is its bench that will do the work.
    learned : tuple of LearnedRate
        What the same shop's own readings say about what its operations take.
    fold : Fold
        Every readable record and what became of it.
    effective : tuple of Folded
        Records in effect, up to the day asked for.
    visits : tuple of Visit
        The same, as the bench arithmetic reads them, in the order of time.
    known : Described
        What the descriptions among them say.
    condition : Condition
        The folded state.
    """

    ski: JoinedSki
    practice: Practice
    learned: tuple[LearnedRate, ...]
    fold: Fold
    effective: tuple[Folded, ...]
    visits: tuple[Visit, ...]
    known: Described
    condition: state.Condition


def sight_of(ski: JoinedSki, *, asking: str, as_of: date | None = None) -> Sight:
    """Read a ski for a shop, as of a day or as of now: a fixed number of queries.

    Parameters
    ----------
    ski : JoinedSki
        As `look_up_ski` found it.
    asking : str
        Handle of the shop whose practice counts.
    as_of : date, optional
        The state at the end of that day, by what is known now.
    """
    folded = read_fold(ski.tags)
    effective = tuple(
        one for one in folded.effective if as_of is None or one.content.performed_at.day <= as_of
    )
    practice, learned = practice_of(asking), own_rates(asking)
    visits = visits_of(effective)
    # The day it is now by the node's calendar, as the door judges dates.
    now = state.fold(
        visits, practice=practice, today=timezone.localdate(), as_of=as_of, learned=learned
    )
    return Sight(ski, practice, learned, folded, effective, visits, described(effective), now)
