"""The handbook's table of kinds, and how a farm's name for a kind finds its row.

Each row of the table carries its sources, but for the column `sown_late_for_next_year`, which is
common practice, without a source. Where several rows answer to one name (two Ammi, two sunflowers)
only what they agree on is given, and ranges are as wide as all of them. A second table holds the
figures on which published sources differ.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

from traybook.handbook.cautions import Caution, read_cautions
from traybook.handbook.parts import Disputed, Range, from_memory, lasting, read_disputed
from traybook.text.names import fold

# Years that seed keeps, by genus or kind.
# source: viability: University of Nebraska Extension column (about 3 years for most);
# the kinds from memory, a general site agreeing on delphinium, aster, phlox, sweet pea and zinnia
_KEEPS_MOST = 3
_KEEPS = {
    "consolida": 1, "delphinium": 1, "bupleurum": 1, "garden phlox": 1, "callistephus": 2, "annual phlox": 2,
    "antirrhinum": 3, "limonium": 3, "eustoma": 2, "zinnia": 5, "calendula": 4, "helianthus": 4, "cosmos": 4,
    "papaver": 5, "lathyrus": 4, "amaranthus": 4, "celosia": 4, "tropaeolum": 5, "alcea": 5,
}  # fmt: skip
# Weeks that a kind bears in its cell.
# source: Iowa State University Extension annual-flower guide; Utah State University Extension, zinnia
_WEEKS_IN_CELL = {"helianthus": 4, "zinnia": 5, "cosmos": 6}


@dataclass(frozen=True, slots=True)
class Fact:
    """What is known of a kind; None or an empty word where nothing is, or sources disagree.

    Temperatures in Celsius, `coolest` to `warmest` while it sprouts; `days` to sprout; `depth_mm` 0 is
    on the surface; `sow_weeks` the earliest and the latest week from the last frost for sowing under
    cover, negative before it; `pre_treatment` is empty where the kind needs none, or may do without,
    and `treatment_said` is all that the table says of it; `treatment_days` is how long it lasts.
    `bloom_days` count from sowing to the first cut; `indoors_weeks` are spent under cover before
    planting out, which is `out_weeks` from the last frost (negative before it), or else as `out_said`;
    `spacing_cm` between plants, `stems` a plant over the season. `late_for_next_year`: sown after 31
    August it is cut the next year. `legal_min` is the least share at which its seed may be sold in
    some places. `source` is told with every figure, `memory` is true where nothing of it was read
    anywhere, `disputed` holds figures on which sources differ; `rows` are the table's names for it.
    """

    name: str
    pre_treatment: str = ""
    light: str = ""
    light_said: str = ""
    coolest: float | None = None
    warmest: float | None = None
    days: Range | None = None
    depth_mm: float | None = None
    sow_weeks: Range | None = None
    keeps_years: int | None = None
    weeks_in_cell: int | None = None
    treatment_said: str = ""
    treatment_days: Range | None = None
    bloom_days: Range | None = None
    indoors_weeks: Range | None = None
    out_weeks: Range | None = None
    out_said: str = ""
    spacing_cm: Range | None = None
    stems: Range | None = None
    late_for_next_year: bool = False
    legal_min: float | None = None
    hazard: str = ""
    direct: str = ""
    harvest_stage: str = ""
    source: str = ""
    memory: bool = False
    disputed: tuple[Disputed, ...] = ()
    rows: tuple[str, ...] = ()


class Handbook:
    """The table, looked up by any name of a kind, and the trade's cautions."""

    def __init__(self, facts: dict[str, list[Fact]], cautions: tuple[Caution, ...] = ()) -> None:
        """`facts` by folded name."""
        self.cautions = cautions
        self._facts = facts
        self._known: dict[str, Fact] = {}

    def of(self, names: Iterable[str]) -> Fact | None:
        """What is known of a kind under the first of its names that the table has."""
        for name in names:
            flat = fold(name)
            for form in (flat, flat.removesuffix("s"), flat + "s"):
                if form in self._facts:
                    if form not in self._known:
                        self._known[form] = _agreed(self._facts[form])
                    return self._known[form]
        return None


def read_handbook(text: str, disputed: str = "", cautions: str = "") -> Handbook:
    """The table from its CSV text, what is disputed and the cautions from theirs."""
    facts: dict[str, list[Fact]] = {}
    differ = read_disputed(disputed)
    for row in csv.DictReader(text.splitlines()):
        fact = replace(_fact(row), disputed=differ.get(row["common_name"], ()))
        for name in _names(row):
            if fact not in facts.setdefault(fold(name), []):
                facts[fold(name)].append(fact)
    return Handbook(facts, read_cautions(cautions))


def _names(row: dict[str, str]) -> list[str]:
    """`Lupin / lupine`, `Sunflower (branching)` and the genus."""
    whole = row["common_name"]
    plain = re.sub(r"\s*\(.*?\)", "", whole)
    return [
        whole,
        plain,
        *(p.strip() for p in plain.split("/")),
        _genus(row),
        row["botanical_name"],
    ]


def _genus(row: dict[str, str]) -> str:
    return row["botanical_name"].split()[0].lower() if row["botanical_name"] else ""


def _fact(row: dict[str, str]) -> Fact:
    genus, kind = _genus(row), fold(row["common_name"])
    indoors = _pair(row["weeks_indoors_min"], row["weeks_indoors_max"])
    out = _weeks_out(row)
    return Fact(
        name=row["common_name"],
        pre_treatment=_needed(row["pre_treatment"]),
        light=row["light_need"],
        light_said=row["light_note"] or row["light_need"],
        coolest=_celsius(row["germ_temp_f_min"]),
        warmest=_celsius(row["germ_temp_f_max"]),
        days=_pair(row["days_to_germ_min"], row["days_to_germ_max"]),
        depth_mm=_number(row["sow_depth_mm"]),
        sow_weeks=sow_weeks(indoors, out),
        keeps_years=_KEEPS.get(kind, _KEEPS.get(genus, _KEEPS_MOST)),
        weeks_in_cell=_WEEKS_IN_CELL.get(genus),
        treatment_said=row["pre_treatment"],
        treatment_days=lasting(row["pre_treatment"]),
        bloom_days=_pair(row["days_sow_to_bloom_min"], row["days_sow_to_bloom_max"]),
        indoors_weeks=indoors,
        out_weeks=out,
        out_said=row["plant_out_weeks_from_last_frost"],
        spacing_cm=_in_cm(_pair(row["spacing_in_min"], row["spacing_in_max"])),
        stems=_pair(row["stems_per_plant_min"], row["stems_per_plant_max"]),
        late_for_next_year=row.get("sown_late_for_next_year", "") == "yes",
        legal_min=None if (least := _number(row["legal_min_germ_pct"])) is None else least / 100,
        hazard=_hazard(row["hazard"]),
        direct=row["direct_sow"],
        harvest_stage=row["harvest_stage"],
        source=row["source"],
        memory=from_memory(row["source"]),
        rows=(row["common_name"],),
    )


def _hazard(said: str) -> str:
    """Without a first `none known`, which would read as safe."""
    return re.sub(r"^none known\W*", "", said).removesuffix(
        ")" if said[:11] == "none known " else ""
    )


def _celsius(fahrenheit: str) -> float | None:
    degrees = _number(fahrenheit)
    return None if degrees is None else (degrees - 32) / 1.8


def _in_cm(inches: Range | None) -> Range | None:
    return (inches[0] * 2.54, inches[1] * 2.54) if inches else None


def _weeks_out(row: dict[str, str]) -> Range | None:
    out = re.fullmatch(r"([-+]?\d+) to ([-+]?\d+)", row["plant_out_weeks_from_last_frost"].strip())
    return (float(out[1]), float(out[2])) if out else None


def _needed(treatment: str) -> str:
    """What its seed needs first; `none or cold moist 1-2 wk` is no need."""
    return "" if treatment.lower().startswith("none") else treatment


def _number(text: str) -> float | None:
    return float(text) if re.fullmatch(r"-?\d+(?:\.\d+)?", text.strip()) else None


def _pair(low: str, high: str) -> Range | None:
    one, two = _number(low), _number(high)
    return None if one is None or two is None else (one, two)


def sow_weeks(indoors: Range | None, out: Range | None) -> Range | None:
    """Weeks from the last frost: when it is planted out, less the weeks it stands indoors."""
    return (out[0] - indoors[1], out[1] - indoors[0]) if indoors and out else None


def _agreed(rows: list[Fact]) -> Fact:
    """One fact of several rows: what they agree on, and ranges that hold them all."""
    first = rows[0]
    if len(rows) == 1:
        return first
    lights = {r.light for r in rows}
    cool, warm = [r.coolest for r in rows], [r.warmest for r in rows]
    depths = [r.depth_mm for r in rows]
    keeps = [r.keeps_years for r in rows if r.keeps_years is not None]
    return Fact(
        name=first.name,
        pre_treatment=first.pre_treatment if all(r.pre_treatment for r in rows) else "",
        light=first.light if len(lights) == 1 else "",
        light_said=_all_said([r.light_said for r in rows]),
        coolest=min((c for c in cool if c is not None), default=None) if None not in cool else None,
        warmest=max((w for w in warm if w is not None), default=None) if None not in warm else None,
        days=_widest([r.days for r in rows]),
        depth_mm=max((d for d in depths if d is not None), default=None)
        if None not in depths
        else None,
        sow_weeks=_widest([r.sow_weeks for r in rows]),
        keeps_years=max(keeps, default=None),
        weeks_in_cell=first.weeks_in_cell,
        treatment_said=_all_said([r.treatment_said for r in rows]),
        treatment_days=_widest([r.treatment_days for r in rows]),
        bloom_days=_widest([r.bloom_days for r in rows]),
        indoors_weeks=_widest([r.indoors_weeks for r in rows]),
        out_weeks=_widest([r.out_weeks for r in rows]),
        out_said=_all_said([r.out_said for r in rows]),
        spacing_cm=_widest([r.spacing_cm for r in rows]),
        stems=_widest([r.stems for r in rows]),
        late_for_next_year=all(r.late_for_next_year for r in rows),
        legal_min=min((r.legal_min for r in rows if r.legal_min is not None), default=None),
        hazard="; ".join(_longest([r.hazard for r in rows])),
        direct=first.direct if len({r.direct for r in rows}) == 1 else "",
        harvest_stage=first.harvest_stage if len({r.harvest_stage for r in rows}) == 1 else "",
        source=" | ".join(dict.fromkeys(r.source for r in rows if r.source)),
        memory=all(r.memory for r in rows),
        disputed=tuple(dict.fromkeys(d for r in rows for d in r.disputed)),
        rows=tuple(name for r in rows for name in r.rows),
    )


def _longest(said: list[str]) -> list[str]:
    """Each once, without those that another one holds."""
    once = list(dict.fromkeys(x for x in said if x))
    return [x for x in once if not any(x != other and x in other for other in once)]


def _all_said(words: list[str]) -> str:
    """What several rows say, each once."""
    return " / ".join(dict.fromkeys(w for w in words if w))


def _widest(ranges: list[Range | None]) -> Range | None:
    known = [r for r in ranges if r is not None]
    if len(known) < len(ranges):
        return None
    return min(r[0] for r in known), max(r[1] for r in known)
