"""Kinds over seasons, slowly: how far sowings lie apart, intervals that hold it, and when to give up."""

from __future__ import annotations

import csv
from datetime import date
from math import sqrt
from pathlib import Path

import traybook

from .events import Sown
from .numbers import Z, both_empty, cell_share, empty, give_up_day, slope

GUESS, GUESS_BOUGHT = 0.08, 0.01
# One sowing as (n, seeds each, n up).
Count = tuple[int, float, int]

MEASURES = {
    "cells": "up",
    "open": "up",
    "paper": "sprouted",
    "direct": "stand",
    "corm": "corm",
    "bought": "bought in",
}


def measure(sown: Sown) -> str:
    if sown.kind == "bought" and sown.things in ("corms", "tubers"):
        return "corm"
    return MEASURES[sown.kind]


def handbook() -> dict[str, dict[str, str]]:
    """The shipped facts by lower-case name."""
    path = Path(traybook.__file__).parent / "handbook" / "crops.csv"
    with path.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    out: dict[str, dict[str, str]] = {}
    for row in rows:
        for name in (row["common_name"].split(" (")[0], row["botanical_name"].split()[0]):
            out.setdefault(name.lower(), row)
    out["nigella"] = out["love-in-a-mist"]
    out["scabious"] = {}  # the handbook knows it by other names
    return out


FACTS = handbook()


def needs_treatment(crop: str, said: str = "") -> bool:
    """By what crops.yaml says, else by the handbook."""
    return bool(said) or not FACTS.get(crop, {}).get("pre_treatment", "none").startswith("none")


def sown_late(crop: str) -> bool:
    """Does the handbook say that it is sown late for the next year?"""
    return FACTS.get(crop, {}).get("sown_late_for_next_year") == "yes"


def published(crop: str) -> tuple[int, int] | None:
    row = FACTS.get(crop) or {}
    if not row.get("days_to_germ_min"):
        return None
    return int(row["days_to_germ_min"]), int(row["days_to_germ_max"])


def pieces(counts: list[tuple[Count, str]]) -> dict[bool, list[tuple[float, float, int]]]:
    """(A, B, df) of each group: alike in variety where all say theirs, and in seeds each; those of
    several seeds under True."""
    apart = all(v for _, v in counts)
    groups: dict[tuple[str, float], list[Count]] = {}
    for count, variety in counts:
        groups.setdefault((variety if apart else "", count[1]), []).append(count)
    out: dict[bool, list[tuple[float, float, int]]] = {True: [], False: []}
    for (_, k), found in groups.items():
        sown, up = sum(n for n, _, _ in found), sum(y for _, _, y in found)
        if len(found) < 2 or up in (0, sown):
            continue
        share = up / sown
        a = sum((y - n * share) ** 2 / (n * share * (1 - share)) for n, _, y in found)
        b = sum((n - 1) * (1 - n / sown) for n, _, _ in found)
        if k > 1:
            q = (1 - share) ** (1 / k)
            b *= k * k * (1 - q) * q ** (k - 1) / share
        out[k > 1].append((a - (len(found) - 1), b, len(found) - 1))
    return out


def rho_of(found: list[tuple[float, float, int]]) -> tuple[float, int]:
    b = sum(x[1] for x in found)
    return (min(1.0, max(0.0, sum(x[0] for x in found) / b)) if b else 0.0), sum(
        x[2] for x in found
    )


class Kinds:
    """The kinds of a farm. `counts` are {(crop, season, measure): [(count, variety)]} of the sowings that
    enter germination; `open_` the seasons that hold a sowing neither finished nor settled; `slow` the
    crops that want a treatment first."""

    def __init__(self, counts: dict, open_: set[int], as_of: date, slow: set[str]):
        self.counts, self.slow = counts, slow
        years = {season for _, season, _ in counts}
        self.over = {y for y in years if y not in open_ or as_of > date(y + 1, 12, 31)}

    def _pieces(self, crop: str, measure: str, before: int, over: bool) -> list:
        """A kind's groups of earlier seasons; cells of several seeds only where no seeds are counted."""
        seeds, cells = [], []
        for (c, season, m), found in self.counts.items():
            if c == crop and m == measure and season < before and (season in self.over or not over):
                got = pieces(found)
                seeds += got[False]
                cells += got[True]
        return seeds or cells

    def spread(self, crop: str, season: int, measure: str) -> float:
        crops = sorted({c for c, _, m in self.counts if m == measure})
        lent = {c: self._pieces(c, measure, season, over=True) for c in crops}
        alike = [c for c in crops if (c in self.slow) == (crop in self.slow)]
        own, df_own = rho_of(self._pieces(crop, measure, season, over=False))
        pool, df_pool = rho_of([x for c in alike for x in lent[c]])
        farm, df_farm = rho_of([x for c in crops for x in lent[c]])
        guess = GUESS_BOUGHT if measure == "bought in" else GUESS
        farm = (df_farm * farm + 6 * guess) / (df_farm + 6)
        pool = (df_pool * pool + 10 * farm) / (df_pool + 10)
        return (df_own * own + 8 * pool) / (df_own + 8)


def signed(groups: list[Count], p: float, rho: float) -> float:
    """Score over its standard deviation, the spread held in it."""
    u = v = 0.0
    for n, k, y in groups:
        none, rise = empty(k, p, rho), slope(k, p, rho)
        chance = none * (1 - none)
        alike = (both_empty(k, p, rho) - none**2) / chance
        u += (y - n * (1 - none)) * rise / chance
        v += n * rise**2 / chance * (1 + (n - 1) * alike)
    return u / sqrt(v)


def limits(groups: list[Count], rho: float) -> tuple[float, float, float]:
    """Estimate and limits of a kind's share."""
    if all(k == 1 for _, k, _ in groups):
        value = sum(y for _, _, y in groups) / sum(n for n, _, _ in groups)
    else:
        value = cell_share(groups, rho)
    low = 0.0 if value == 0 else _falls(groups, rho, Z, 1e-9, value)
    high = 1.0 if value == 1 else _falls(groups, rho, -Z, value, 1 - 1e-9)
    return value, low, high


def _falls(groups: list[Count], rho: float, to: float, a: float, b: float) -> float:
    for _ in range(70):
        middle = (a + b) / 2
        a, b = (middle, b) if signed(groups, middle, rho) > to else (a, middle)
    return (a + b) / 2


def give_up(histories: list, said: tuple[int, int] | None, crop: str, slow: bool) -> int | None:
    """By the kind's own finished sowings of earlier seasons; else crops.yaml; else the handbook."""
    day = give_up_day(histories, [], said or published(crop))
    return None if day is None else max(42, day) if slow else day
