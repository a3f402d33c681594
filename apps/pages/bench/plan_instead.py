"""From a plan to a cheaper one: the same address with what the cheaper way asks for."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from django.http import QueryDict

from apps.tuning.practice import Practice

Change = Callable[[QueryDict, Practice], None]


def instead(code: str, asked: str, practice: Practice) -> str:
    """Give what the address of a cheaper way asks for.

    Parameters
    ----------
    code : str
        Of the cheaper way.
    asked : str
        What the address of the plan asks for.
    practice : Practice
        The shop's settings.

    Returns
    -------
    str
        "" for a way that hangs on more than the form asks for.
    """
    change = CHANGES.get(code)
    if change is None:
        return ""
    query = QueryDict(asked, mutable=True)
    change(query, practice)
    return query.urlencode()


def _fill(query: QueryDict, _practice: Practice) -> None:
    found = [*query.getlist("repair"), *query.getlist("grind")]
    query.setlist("repair", found)
    query.pop("grind", None)


def _wider(query: QueryDict, practice: Practice) -> None:
    query["flat"] = f"{practice.flatness_tolerance_mm:g} mm"


def _spot(query: QueryDict, _practice: Practice) -> None:
    query.pop("flat", None)
    query["spot"] = "on"


CHANGES: Mapping[str, Change] = {
    "fill_gouges": _fill,
    "wider_tolerance": _wider,
    "spot_flatten": _spot,
}
