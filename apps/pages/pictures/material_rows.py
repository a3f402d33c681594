"""What a chart of steel or base says, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from django.utils.formats import date_format
from django.utils.translation import gettext as _

from apps.pages.far_days import MOST_YEARS, is_far
from apps.pages.numbers import Unit, length, plain, plus_minus
from apps.pages.pictures.edge_rows import length_words
from apps.pages.pictures.picture import Row
from apps.pages.words import word
from apps.tuning.material import MaterialLeft, MaterialReading
from apps.tuning.wear_ski import LastDay


@dataclass(frozen=True, slots=True)
class GoneEdge:
    """Readings of an edge that was replaced, and the day of that."""

    readings: tuple[MaterialReading, ...]
    replaced_on: date


def material_title(left: MaterialLeft) -> str:
    """What was measured and where, as a heading."""
    what = word("material", left.quantity)
    parts = [what if left.edge is None else _of_edge(left)]
    if left.position_mm is not None:
        at = {"position": left.position_mm}
        parts.append(_("%(position)d mm from the tail") % at)
    elif left.station is not None:
        parts.append(word("station", left.station))
    title = ", ".join(parts)
    return title[:1].upper() + title[1:]


def material_rows(
    left: MaterialLeft,
    last_day: LastDay,
    gone: Sequence[GoneEdge],
    *,
    as_of: date,
    confidence: float,
    unit: Unit,
) -> tuple[Row, ...]:
    """Every reading, what is left now, the least and the outlook."""
    return (
        *_gone_rows(gone, unit),
        *_now_rows(left, as_of, unit),
        *_outlook_rows(left, last_day, as_of, confidence),
    )


def _gone_rows(gone: Sequence[GoneEdge], unit: Unit) -> Iterator[Row]:
    for edge in gone:
        for reading in edge.readings:
            yield Row(_reading_day(reading), _reading_words(reading, unit))
        yield Row(date_format(edge.replaced_on), _("edge replaced; what was read before is over"))


def _now_rows(left: MaterialLeft, as_of: date, unit: Unit) -> Iterator[Row]:
    for reading in left.readings:
        yield Row(_reading_day(reading), _reading_words(reading, unit))
    now = {"day": date_format(as_of)}
    yield Row(_("Left on %(day)s") % now, length_words(left.left, unit))
    least = {"least": length(left.least_mm, unit)}
    yield Row(_("The shop's least"), _("%(least)s (practice)") % least)


def _of_edge(left: MaterialLeft) -> str:
    parts = {"what": word("material", left.quantity), "edge": word("edge", left.edge or "")}
    return _("%(what)s, %(edge)s") % parts


def _reading_day(reading: MaterialReading) -> str:
    parts = {"day": date_format(reading.day)}
    if reading.moment == "before":
        return _("%(day)s, before the work") % parts
    if reading.moment == "after":
        return _("%(day)s, after the work") % parts
    return str(parts["day"])


def _reading_words(reading: MaterialReading, unit: Unit) -> str:
    said = [plus_minus(reading.value_mm, reading.expanded_uncertainty_mm, unit)]
    if reading.uncertainty_assumed:
        said.append(_("uncertainty by practice"))
    if reading.fitted_mm is not None:
        said.append(_("on the line at %(fitted)s") % {"fitted": length(reading.fitted_mm, unit)})
    if reading.rises:
        said.append(_("lies above an earlier reading, and steel and base never grow"))
    return "; ".join(said)


def _outlook_rows(
    left: MaterialLeft, last_day: LastDay, as_of: date, confidence: float
) -> Iterator[Row]:
    if last_day.low is None:
        return
    if left.left.value_mm <= left.least_mm:
        yield Row(_("Down to the least"), _("reached"))
        return
    percent = {"percent": plain(100.0 * confidence, 0)}
    label = _("Down to the least by the use so far, in %(percent)s of 100 cases") % percent
    yield Row(label, _last_day_words(last_day.low, last_day, as_of))


def _last_day_words(low: date, last_day: LastDay, as_of: date) -> str:
    if is_far(low, as_of):
        return _("not within %(years)d years by the use so far") % {"years": MOST_YEARS}
    parts = {"low": date_format(low)}
    if last_day.high is None:
        return _("not before %(low)s; no latest day can be told") % parts
    if is_far(last_day.high, as_of):
        return _far_words(parts, last_day.value, as_of)
    parts["high"] = date_format(last_day.high)
    if last_day.value is None:
        return _("between %(low)s and %(high)s") % parts
    parts["day"] = date_format(last_day.value)
    return _("%(day)s, between %(low)s and %(high)s") % parts


def _far_words(low: dict[str, str], value: date | None, as_of: date) -> str:
    parts = {**low, "years": MOST_YEARS}
    if value is None or is_far(value, as_of):
        return _("not before %(low)s; perhaps not within %(years)d years") % parts
    parts["day"] = date_format(value)
    return _("%(day)s, not before %(low)s; perhaps not within %(years)d years") % parts
