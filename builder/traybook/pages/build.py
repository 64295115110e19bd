"""All pages of a farm."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType

from traybook.advice.learnt import Learnt
from traybook.findings.model import Finding
from traybook.pages.before import before_page
from traybook.pages.cautions import cautions_page
from traybook.pages.columns import columns_page
from traybook.pages.crop import by_crop, crop_page, crops_page
from traybook.pages.diary import diary_pages
from traybook.pages.frost_and_light import frost_and_light_page
from traybook.pages.model import Link, Page
from traybook.pages.places import beds_page, by_place_page, standing_page
from traybook.pages.plan import plan_pages
from traybook.pages.put_right import put_right_page
from traybook.pages.season import season_page, seasons_page
from traybook.pages.seed import seed_page
from traybook.pages.sowing import moved_page, neighbours, sowing_page, sowings_page
from traybook.pages.today import today_page
from traybook.pages.verbs import verbs_page
from traybook.pages.worked import worked_page
from traybook.rollup.farm import FarmFigures


def build_pages(
    figures: FarmFigures,
    findings: Iterable[Finding] = (),
    cases: Mapping[str, str] = MappingProxyType({}),
    learnt: Learnt | None = None,
) -> tuple[Page, ...]:
    """Every generated page, those of the nav first; no two have one address.

    `findings`, explained by `cases`, make the page Put right of the own build; the shared build has
    none. What is `learnt` of the figures may be handed in, so that it is worked out once.
    """
    learnt = learnt or Learnt(figures)
    pages = [
        today_page(learnt),
        before_page(learnt),
        *plan_pages(learnt),
        standing_page(figures),
        by_place_page(figures),
        beds_page(figures),
        crops_page(figures),
        sowings_page(figures),
        seasons_page(figures),
        seed_page(learnt),
        worked_page(learnt),
        frost_and_light_page(figures.kept.book),
        *diary_pages(figures),
    ]
    pages += [put_right_page(findings, cases)] if figures.kept.book.own else []
    pages += [cautions_page(figures), verbs_page(), columns_page(figures.kept.book.own)]
    pages += [crop_page(crop, kinds, learnt) for crop, kinds in by_crop(figures).items()]
    near = neighbours(figures)
    pages += [sowing_page(s, learnt, near[s.code]) for s in figures.sowings.values()]
    pages += [moved_page(s.sowing.was, s) for s in figures.sowings.values() if s.sowing.was]
    years = figures.seasons
    for i, season in enumerate(years):
        before = next((y for y in years[i + 1 :] if y.year == season.year - 1), None)
        pages.append(season_page(season, before, learnt))
    once: dict[str, Page] = {}
    for page in pages:
        # an earlier code that lives again as another sowing's own keeps that sowing's page
        if page.template == "moved" and page.address in once:
            continue
        if page.address in once and once[page.address].template != "moved":
            raise ValueError(f"two pages have the address {page.address}")
        once[page.address] = page
    return tuple(_grouped(list(once.values())))


#: Pages of the navigation that stand under another.
_UNDER = {
    "Plan": "Before sowing", "Seed": "Before sowing", "Frost and light": "Before sowing",
    "By place": "Standing now", "Beds": "Standing now", "Cautions": "Manual",
}  # fmt: skip


def _grouped(pages: list[Page]) -> Iterable[Page]:
    """Each page under the one it belongs to, those of one group with links to one another."""
    groups: dict[str, list[Page]] = defaultdict(list)
    for page in pages:
        if page.nav:
            groups[_UNDER.get(page.nav, page.nav)].append(page)
    for page in pages:
        under = _UNDER.get(page.nav, "")
        near = groups[under or page.nav] if page.nav and under != "Manual" else []
        told = {x.to for x in page.links}
        links = (
            *page.links,
            *(Link(p.nav, p.address) for p in near if p is not page and p.address not in told),
        )
        yield replace(page, under=under, links=links)
