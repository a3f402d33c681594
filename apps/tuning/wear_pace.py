"""How many services a ski comes to in a season, from its days out and from the fleet's."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from apps.tuning.errors import require_not_negative, require_positive
from apps.tuning.shrinkage import (
    GUESS_DEGREES,
    LEAST_GROUPS,
    MOST_DEGREES,
    Shrunk,
    centre_of,
    shrink_to,
)
from apps.tuning.wear_statistics import WearColumns

Floats = NDArray[np.float64]

SHARED_SEASON = 0.1
"""How far a season's use of a whole fleet strays from forecast, standard deviation over mean:
snow and guests; practice."""


@dataclass(frozen=True, slots=True)
class UseForecast:
    """What a shop expects of the seasons to come, in place of what the records say.

    Attributes
    ----------
    days_a_season : float or None
        Days out of a ski in one season [d]; None to go by the records.
    days_uncertainty : float
        Its standard uncertainty [d].
    days_a_service : float or None
        Days out from one service to the next [d]; None to go by the records.
    service_uncertainty : float
        Its standard uncertainty [d].
    shared_season : float
        Standard deviation of a season's use of the whole fleet over its mean [1], practice.

    Raises
    ------
    NotFiniteError, OutOfRangeError
        If a number of days is not above zero or an uncertainty is negative.
    """

    days_a_season: float | None = None
    days_uncertainty: float = 0.0
    days_a_service: float | None = None
    service_uncertainty: float = 0.0
    shared_season: float = SHARED_SEASON

    def __post_init__(self) -> None:
        for name in ("days_a_season", "days_a_service"):
            if getattr(self, name) is not None:
                require_positive(getattr(self, name), name)
        for name in ("days_uncertainty", "service_uncertainty", "shared_season"):
            require_not_negative(getattr(self, name), name)


BY_THE_RECORDS = UseForecast()

UNEVEN = 0.25
"""Standard deviation of a ski's spans and seasons over their mean where none repeats; practice."""

RARELY = 0.05
"""Least use of a ski over the fleet's mean; practice."""

WHOLE_DAY = 1.0 / 12.0
"""Variance of a number of days that is kept as a whole one [d2] (JCGM 100:2008, 4.3.7)."""


@dataclass(frozen=True, slots=True, eq=False)
class DayRates:
    """Days out of one kind for each ski, arrays of shape (n,), and their scatter.

    Attributes
    ----------
    mean, variance : array of float
        Days and their mean square error [d, d2].
    degrees_of_freedom : array of float
        Effective ones [1].
    scatter : float
        Variance of one span or season about its ski's mean [d2].
    shared : float
        Standard deviation of what is wrong for all skis alike, over the mean [1].
    known : bool
        False where neither records nor a forecast say anything; all days are NaN then.
    """

    mean: Floats
    variance: Floats
    degrees_of_freedom: Floats
    scatter: float
    shared: float
    known: bool


@dataclass(frozen=True, slots=True, eq=False)
class Pace:
    """How many services a season brings each ski, arrays of shape (n,); NaN where unknown.

    Attributes
    ----------
    services : array of float
        Services in a season on the mean [1].
    variance : array of float
        Mean square error of that [1].
    process : array of float
        Variance of the services of one season about that mean [1].
    ahead : array of float
        Services that use since the last one is good for already [1], half a service less on
        the mean: a service is done when it is due, not bit by bit.
    degrees_of_freedom : array of float
        Effective ones [1].
    shared : float
        Standard deviation of what all skis share, over the mean [1].
    shared_season : float
        Standard deviation of a season's use of the whole fleet over its mean [1].
    basis : {"readings", "stated", "unknown"}
        Records, the shop's forecast where it gives one, or nothing.
    sentence : str
        For a person.
    """

    services: Floats
    variance: Floats
    process: Floats
    ahead: Floats
    degrees_of_freedom: Floats
    shared: float
    shared_season: float
    basis: Literal["readings", "stated", "unknown"]
    sentence: str


def pace_of(columns: WearColumns, forecast: UseForecast = BY_THE_RECORDS) -> Pace:
    """How many services a season brings each ski.

    Parameters
    ----------
    columns : WearColumns
        The skis, n of them.
    forecast : UseForecast
        What the shop expects, in place of the records.

    Returns
    -------
    Pace
        Days a season over days a service, each of the ski and drawn to the fleet's; unknown
        where the fleet has fewer than three skis with such use on record and no forecast.

    Notes
    -----
    Source: first-order propagation for the quotient (JCGM 100:2008, equation 10); mean and
    variance of the number of services in a time as of a renewal process (D. R. Cox, Renewal
    Theory, 1962, recalled).
    """
    season = _seasons(columns, forecast)
    service = _spans(columns, forecast)
    gap, out = service.mean, season.mean
    services = out / gap
    relative = season.variance / out**2 + service.variance / gap**2
    uneven = np.clip(service.scatter / gap**2, 0.0, 1.0)
    sentence, basis = _words(season, service, forecast)
    return Pace(
        services,
        services**2 * relative,
        services * uneven + season.scatter / gap**2,
        columns.days_since / gap - (1.0 - uneven) / 2.0,
        np.minimum(season.degrees_of_freedom, service.degrees_of_freedom),
        float(np.hypot(season.shared, service.shared)),
        forecast.shared_season,
        basis,
        sentence,
    )


def tallied_scatter(counts: Floats, totals: Floats, squares: Floats) -> tuple[float, float]:
    """Variance within groups from their counts, sums and sums of squares.

    Parameters
    ----------
    counts, totals, squares : array of float, shape (n,)
        Of each group; empty groups are passed over.

    Returns
    -------
    tuple of float
        The mean square within groups and its degrees of freedom; the first is 0 where the second
        is.

    Notes
    -----
    Source: one-way analysis of variance (checked against the certified values of NIST StRD).
    """
    some = counts > 0
    within = squares[some] - totals[some] ** 2 / counts[some]
    degrees = float((counts[some] - 1.0).sum())
    return (max(0.0, float(within.sum())) / degrees if degrees else 0.0), degrees


def shrink_tallies(counts: Floats, totals: Floats, squares: Floats) -> Shrunk | None:
    """Mean days of each ski drawn to the mean of all.

    Parameters
    ----------
    counts, totals, squares : array of float, shape (n,)
        Spans or seasons of each ski, their days and the sum of the squares of the days; a ski
        without any gets the mean of all.

    Returns
    -------
    Shrunk or None
        None where fewer than three skis say anything.
    """
    some = counts > 0
    if some.sum() < LEAST_GROUPS:
        return None
    scatter, degrees = _scatter(counts, totals, squares)
    own = np.where(some, scatter, np.nan) / np.maximum(counts, 1.0)
    means = np.where(some, totals, np.nan) / np.maximum(counts, 1.0)
    centre = centre_of(means[some], own[some], own[some], degrees)
    return shrink_to(centre, means, own, own, degrees)


def _scatter(counts: Floats, totals: Floats, squares: Floats) -> tuple[float, float]:
    """Variance within skis; by practice where nothing repeats itself, never below the step."""
    scatter, degrees = tallied_scatter(counts, totals, squares)
    if degrees < LEAST_GROUPS:
        mean = float(totals.sum() / max(counts.sum(), 1.0))
        scatter, degrees = (UNEVEN * mean) ** 2, GUESS_DEGREES
    return max(scatter, WHOLE_DAY), degrees


def _seasons(columns: WearColumns, forecast: UseForecast) -> DayRates:
    tallied = (columns.seasons, columns.season_days, columns.season_squares)
    if forecast.days_a_season is not None:
        return _stated(forecast.days_a_season, forecast.days_uncertainty, tallied)
    found = _recorded(tallied)
    # All skis saw the same snow, so more skis don't make its mean any surer.
    seen = columns.seasons[columns.seasons > 0]
    snow = forecast.shared_season / float(np.sqrt(seen.mean() if seen.size else 1.0))
    variance = found.variance + (snow * found.mean) ** 2
    return replace(found, variance=variance, shared=float(np.hypot(found.shared, snow)))


def _spans(columns: WearColumns, forecast: UseForecast) -> DayRates:
    tallied = (columns.spans, columns.span_days, columns.span_squares)
    if forecast.days_a_service is not None:
        return _stated(forecast.days_a_service, forecast.service_uncertainty, tallied)
    return _recorded(tallied)


def _stated(days: float, uncertainty: float, tallied: tuple[Floats, Floats, Floats]) -> DayRates:
    mean = np.full_like(tallied[0], days)
    scatter, _ = tallied_scatter(*tallied)
    sure = np.full_like(mean, MOST_DEGREES)
    shared = uncertainty / days
    return DayRates(mean, np.full_like(mean, uncertainty**2), sure, scatter, shared, known=True)


def _recorded(tallied: tuple[Floats, Floats, Floats]) -> DayRates:
    shrunk = shrink_tallies(*tallied)
    if shrunk is None or shrunk.centre.mean <= 0.0:
        unknown = np.full_like(tallied[0], np.nan)
        return DayRates(unknown, unknown, np.ones_like(unknown), 0.0, 0.0, known=False)
    centre, (scatter, _) = shrunk.centre, _scatter(*tallied)
    # A ski that was hardly ever out is due some day all the same.
    mean = np.maximum(shrunk.mean, centre.mean * RARELY)
    shared = float(np.sqrt(centre.variance)) / centre.mean
    return DayRates(mean, shrunk.variance, shrunk.degrees_of_freedom, scatter, shared, known=True)


def _words(
    season: DayRates, service: DayRates, forecast: UseForecast
) -> tuple[str, Literal["readings", "stated", "unknown"]]:
    missing = [
        name
        for name, days in (("days out a season", season), ("days out a service", service))
        if not days.known
    ]
    if missing:
        unsaid = " and ".join(missing)
        why = f"The records don't say the {unsaid} of at least {LEAST_GROUPS} skis."
        return f"{why} Record the use at each service, or state a forecast.", "unknown"
    if forecast.days_a_season is not None or forecast.days_a_service is not None:
        return "By the shop's forecast of use.", "stated"
    return "By the days out on record, of the ski and of the fleet.", "readings"
