"""How flat the base is, its structure and its twist, as the latest readings tell it."""

from __future__ import annotations

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from apps.pages.numbers import Unit, degrees, length, plain
from apps.pages.sentences.shown import AMOUNT_PLACES, day_words
from apps.pages.sentences.templates import Templates, filled
from apps.tuning.flatness_now import FlatnessNow
from apps.tuning.texture_now import TextureNow
from apps.tuning.twist_now import TwistNow

FLATNESS: Templates = {
    "flat": gettext_lazy("Flat: straight within %(zone)s on %(day)s."),
    "concave": gettext_lazy("Concave, the edges stand high: straight within %(zone)s on %(day)s."),
    "convex": gettext_lazy("Convex, the base stands high: straight within %(zone)s on %(day)s."),
    "uneven": gettext_lazy("Uneven: straight within %(zone)s on %(day)s."),
}


def flatness_sentence(now: FlatnessNow, unit: Unit = "mm") -> str:
    """Tell the shape of the base by one profile, and whether the profile still holds."""
    if now.shape is None or now.straightness is None:
        told = _(
            "The profile of %(day)s can't be read as one of the base. Measure more points, and "
            "state the width of the centre groove, or that there is none."
        )
        return told % {"day": day_words(now.day)}
    zone = length(now.straightness.value_mm, unit, AMOUNT_PLACES)
    shape = filled(FLATNESS[now.shape], {"zone": zone, "day": day_words(now.day)})
    return " ".join([shape, *_stale(now.stale_since)])


def texture_sentence(now: TextureNow) -> str:
    """Tell when the structure of the base was traced, and whether that still holds."""
    told = _("Structure of the base as traced on %(day)s.")
    if now.ra_um is None:
        told = _("The trace of %(day)s is too short to tell the structure of the base.")
    return " ".join([told % {"day": day_words(now.day)}, *_stale(now.stale_since)])


def twist_sentence(now: TwistNow) -> str:
    """Tell how the base turns between two places."""
    told = _(
        "Between %(first)s mm and %(last)s mm from the tail the base turns by %(turn)s for each "
        "metre. That is twist only if the bar was held to one plane at every place."
    )
    if now.low_deg_per_m <= 0.0 <= now.high_deg_per_m:
        told = _(
            "Between %(first)s mm and %(last)s mm from the tail the base turns by no more than is "
            "unsure."
        )
    first, last = plain(now.from_mm, 0), plain(now.to_mm, 0)
    return told % {"first": first, "last": last, "turn": degrees(now.deg_per_m)}


def _stale(since: str | None) -> list[str]:
    return [] if since is None else [_("The base was worked since, so measure it again.")]
