"""What is told of one bevel: what was stated, and what became of it since."""

from __future__ import annotations

from collections.abc import Iterator

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from apps.pages.numbers import Unit, between, degrees, length
from apps.pages.sentences.shown import day_words
from apps.tuning.figures import Length
from apps.tuning.standing import BevelNow


def standing_sentence(now: BevelNow, unit: Unit = "mm") -> str:
    """Tell what was stated of a bevel and whether it still stands.

    Parameters
    ----------
    now : BevelNow
        Which bevel it is, the page says beside it.
    unit : {"mm", "um"}
        In which the facet is shown.

    Returns
    -------
    str
        Two or three short sentences.
    """
    return " ".join([*_stated(now), *_since(now, unit), *_doubts(now)])


def _stated(now: BevelNow) -> Iterator[str]:
    stated = now.stated
    if stated is not None:
        told = _("Set to %(bevel)s on %(day)s.")
        if stated.basis == "measured":
            told = _("Measured as %(bevel)s on %(day)s.")
        yield told % {"bevel": degrees(stated.bevel_deg), "day": day_words(stated.day)}
    elif now.standing == "never_stated" and now.since_day is not None:
        told = _("The edge was replaced on %(day)s, and nobody stated the bevel since.")
        yield told % {"day": day_words(now.since_day)}
    else:
        yield _("Nobody stated it.")


def _since(now: BevelNow, unit: Unit) -> Iterator[str]:
    if now.standing == "uncertain":
        yield _uncertain(now, unit)
    elif now.standing == "stands":
        yield _untouched(now, unit)
    elif now.standing == "partly_ground_away" and now.facet is not None:
        yield _partly(now, now.facet, unit)
    elif now.standing == "ground_away":
        yield _("The grind of %(day)s left nothing of it.") % {"day": _since_day(now)}


def _uncertain(now: BevelNow, unit: Unit) -> str:
    # The facet is hidden where work of unknown depth or bevel makes it unknown.
    if now.facet is None:
        told = _("Worked on %(day)s to a depth or bevel that nobody stated. Measure it.")
        return told % {"day": _since_day(now)}
    most = length(now.facet.high_mm, unit)
    told = _(
        "Ground on %(day)s; whether any of the facet is left can't be told, at most %(most)s. "
        "Measure it."
    )
    return told % {"day": _since_day(now), "most": most}


def _untouched(now: BevelNow, unit: Unit) -> str:
    if now.facet is None and now.face == "side":
        return _("Nothing on record has worked it since.")
    if now.facet is None:
        return _("It has no facet that a grind could take.")
    told = _("Not ground since. Its facet is %(facet)s wide.")
    if now.facet.basis == "practice":
        told = _("Not ground since. Its facet is taken as %(facet)s wide, by practice.")
    return told % {"facet": length(now.facet.value_mm, unit)}


def _partly(now: BevelNow, facet: Length, unit: Unit) -> str:
    told = _("Ground on %(day)s: %(facet)s of the facet is left (%(limits)s).")
    if facet.basis == "practice":
        told = _("Ground on %(day)s: %(facet)s of the facet is left by practice (%(limits)s).")
    limits = between(facet.low_mm, facet.high_mm, unit)
    facet_left = length(facet.value_mm, unit)
    return told % {"day": _since_day(now), "facet": facet_left, "limits": limits}


def _doubts(now: BevelNow) -> Iterator[str]:
    count = len(now.doubtful_places)
    if count:
        told = ngettext(
            "At %(count)s place it was worked on its own since; what it is there is not known.",
            "At %(count)s places it was worked on its own since; what it is there is not known.",
            count,
        )
        yield told % {"count": count}


def _since_day(now: BevelNow) -> str:
    return "" if now.since_day is None else day_words(now.since_day)
