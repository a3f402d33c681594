"""All that the page of a ski shows, put together from what the registry knows of it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from apps.pages.pictures.picture import Picture
from apps.pages.sentences import caution_sentence
from apps.pages.ski.base_now import BaseNow, base_now
from apps.pages.ski.belief import Belief, belief_of
from apps.pages.ski.description import Fact, facts_of, headline_of
from apps.pages.ski.doubts import Doubt, doubts_of
from apps.pages.ski.drawings import drawn_edges
from apps.pages.ski.findings import FindingsNow, findings_now
from apps.pages.ski.keeping import Keeping, keeping_of
from apps.pages.ski.material import MaterialNow, material_now
from apps.pages.ski.names import Mentions
from apps.pages.ski.outlook import outlooks_of
from apps.pages.ski.rows import rows_of
from apps.pages.ski.standing import SetNow, set_now
from apps.pages.ski.viewer import Viewer
from apps.pages.ski.visits import Year, visits_shown, years_of
from apps.registry.joining import JoinedSki
from apps.registry.naming import short_shop
from apps.registry.pairings import pairs_of
from apps.registry.sight import sight_of

CAUTIONS = ("sharp-edges", "binding-inspect-only")


@dataclass(frozen=True, slots=True)
class SkiPage:
    """One ski as its page shows it, from what is asked first to what is asked last.

    Parameters
    ----------
    handle, shop, tag : str
        The shop in full and as addresses name it, and its tag.
    printed : str
        What stands on the ski; "" where nobody said.
    as_of : date
        The day it holds for.
    """

    viewer: Viewer
    handle: str
    shop: str
    tag: str
    printed: str
    as_of: date
    facts: tuple[Fact, ...]
    set: SetNow
    edges: tuple[Picture, Picture]
    material: MaterialNow
    base: BaseNow
    findings: FindingsNow
    keeping: Keeping
    doubts: tuple[Doubt, ...]
    years: tuple[Year, ...]
    belief: Belief
    cautions: tuple[str, ...]

    @property
    def may_certify(self) -> bool:
        """Whether the viewer may make a certificate or record a pair: of own tags only."""
        return self.viewer.may_write and self.viewer.asking == self.handle


def ski_page(ski: JoinedSki, viewer: Viewer) -> SkiPage:
    """Put the page of a ski together: a fixed number of queries, whatever its history."""
    sight, rows, pairs = sight_of(ski, asking=viewer.asking), rows_of(ski.tags), pairs_of(ski)
    mentions, unit = Mentions(sight.fold, viewer), viewer.unit
    return SkiPage(
        viewer=viewer,
        handle=ski.tag.shop,
        shop=short_shop(ski.tag.shop),
        tag=ski.tag.tag,
        printed=headline_of(sight.known.fields),
        as_of=sight.condition.as_of,
        facts=facts_of(sight.known.fields),
        set=set_now(sight.condition, mentions, unit),
        edges=drawn_edges(sight, unit),
        material=material_now(sight.condition, outlooks_of(sight, viewer.asking), mentions, unit),
        base=base_now(sight.condition, mentions, unit),
        findings=findings_now(sight, mentions, viewer),
        keeping=keeping_of(sight, pairs, mentions),
        doubts=doubts_of(sight, mentions, unit),
        years=years_of(visits_shown(sight, rows, viewer)),
        belief=belief_of(sight, rows),
        cautions=tuple(caution_sentence(code) for code in CAUTIONS),
    )
