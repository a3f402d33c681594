"""What is told of a finished tune: each check against the target, and the whole."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from apps.tuning.figures import Length
from apps.tuning.history import Edge, Place
from apps.tuning.standing import Face

CheckOutcome = Literal["pass", "fail", "undecided", "unmeasured"]


@dataclass(frozen=True, slots=True)
class BevelCheck:
    """One bevel of one edge against its target.

    Attributes
    ----------
    edge : {"left", "right"}
        Seen from above, tip forward.
    face : {"base", "side"}
        Which bevel.
    station_from_mm, station_to_mm : int or None
        Stretch that was measured [mm from the tail]; None for the whole edge.
    target_deg : float
        As the job states it [deg].
    lower_deg : float or None
        Least that conforms [deg]; None where no bevel can lie below.
    upper_deg : float
        Most that conforms [deg].
    measured_deg, expanded_uncertainty_deg : float or None
        The reading and its uncertainty, k = 2 [deg]; None where nobody measured.
    uncertainty_assumed : bool
        True where the record states none and the shop's practice stands in.
    instrument : str or None
        As recorded.
    outcome : {"pass", "fail", "undecided", "unmeasured"}
        Conformity proved, its contrary proved, neither, or nothing to judge by.
    probability : float or None
        Probability that the bevel conforms [1].
    guard_band_deg : float or None
        Width beside a single limit where nothing is proved [deg].
    deciding_uncertainty_deg : float or None
        Largest expanded uncertainty (k = 2) of a gauge that decides at this reading [deg]; None
        where no gauge could, or nothing was read.
    sentence : str
        For a person.
    rests_on : tuple of str
        The job, and the record of the reading.
    """

    edge: Edge
    face: Face
    station_from_mm: int | None
    station_to_mm: int | None
    target_deg: float
    lower_deg: float | None
    upper_deg: float
    measured_deg: float | None
    expanded_uncertainty_deg: float | None
    uncertainty_assumed: bool
    instrument: str | None
    outcome: CheckOutcome
    probability: float | None
    guard_band_deg: float | None
    deciding_uncertainty_deg: float | None
    sentence: str
    rests_on: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FlatnessCheck:
    """The straightness of one true-bar profile against its target.

    Attributes
    ----------
    place : Place or None
        Where the profile was taken; None where nobody took one.
    upper_mm : float
        Most that conforms [mm].
    straightness : Length or None
        As measured; None where there is no profile that can be read.
    outcome : {"pass", "fail", "undecided", "unmeasured"}
        As for a bevel.
    probability : float or None
        Probability that the base conforms [1].
    guard_band_mm : float or None
        Width beside the limit where nothing is proved [mm].
    deciding_uncertainty_mm : float or None
        Largest expanded uncertainty (k = 2) of the straightness that decides at this reading
        [mm]; that of one gap is smaller by ``sqrt(2)``.
    sentence : str
        For a person.
    rests_on : tuple of str
        The job, and the records of the reading.
    """

    place: Place | None
    upper_mm: float
    straightness: Length | None
    outcome: CheckOutcome
    probability: float | None
    guard_band_mm: float | None
    deciding_uncertainty_mm: float | None
    sentence: str
    rests_on: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class JobConformity:
    """Whether a finished tune met its target.

    Attributes
    ----------
    job : str
        Id of the job that states the target.
    day : date
        Day of the job.
    outcome : {"fail", "undecided", "unmeasured", "pass"}
        The first of these that occurs among the checks.
    method : str
        The standard whose rule decided.
    required_probability : float
        How sure a verdict has to be [1].
    bevels : tuple of BevelCheck
        Left and right, base and side, as far as the target asks.
    flatness : tuple of FlatnessCheck
        One for each profile; one that is unmeasured where the target asks and nobody took any.
    sentence : str
        For a person.
    rests_on : tuple of str
        Ids of the records behind it.
    """

    job: str
    day: date
    outcome: CheckOutcome
    method: str
    required_probability: float
    bevels: tuple[BevelCheck, ...]
    flatness: tuple[FlatnessCheck, ...]
    sentence: str
    rests_on: tuple[str, ...]
