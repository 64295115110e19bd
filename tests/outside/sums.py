"""crops.csv added up from sowings.csv with nothing but csv and counters."""

from __future__ import annotations

import csv
import io
from collections import Counter

Key = tuple[str, str, str]
#: Columns that are sums over all sowings, and over those that enter germination.
ALL = ("good", "planted_out", "stems")
ENTERED = ("seeds", "emerged")


def key_of(row: dict[str, str]) -> Key:
    return row["crop"].casefold(), row["season"], row["measure"]


def number(text: str) -> int:
    """A count; nothing counted adds nothing."""
    return int(text or 0)


def good_of(row: dict[str, str]) -> int:
    """What good plants are a share of: cells where several seeds went in each, else seeds."""
    several = row["seeds_per_cell"] not in ("", "1")
    if several and row["cells"] and int(row["good"]) <= int(row["cells"]):
        return int(row["cells"])
    return int(row["seeds"])


def middle(counted: Counter[str]) -> float:
    """The median of days that were counted."""
    days = sorted(float(d) for d in counted.elements())
    half = len(days) // 2
    return days[half] if len(days) % 2 else (days[half - 1] + days[half]) / 2


def added(sowings_csv: str) -> dict[Key, dict[str, str | float | None]]:
    """Each row of crops.csv as far as it can be added up; None where it can't."""
    sums: Counter[tuple[Key, str]] = Counter()
    halves: dict[Key, Counter[str]] = {}
    told: Counter[Key] = Counter()
    for row in csv.DictReader(io.StringIO(sowings_csv)):
        key = key_of(row)
        halves.setdefault(key, Counter())
        sums[key, "sowings"] += 1
        told[key] += row["stems"] != ""
        sums[key, "unsure"] += row["stems_at_least"] == "true"
        for column in ALL:
            sums[key, column] += number(row[column])
        if row["in_germination"] == "true":
            sums[key, "estimated"] += row["germination_estimated"] == "true"
            for column in ENTERED:
                sums[key, column] += number(row[column])
            halves[key].update([row["half_day"]] if row["half_day"] else [])
        if row["good_share"]:
            sums[key, "shared"] += int(row["good"])
            sums[key, "shared of"] += good_of(row)
    out: dict[Key, dict[str, str | float | None]] = {}
    for key, half in halves.items():
        of = {name: sums[key, name] for name in ("sowings", *ENTERED, *ALL)}
        out[key] = {name: str(n) for name, n in of.items()}
        out[key]["germination"] = (
            None if sums[key, "estimated"] else share(of["emerged"], of["seeds"])
        )
        out[key]["good_share"] = share(sums[key, "shared"], sums[key, "shared of"])
        out[key]["half_day"] = middle(half) if half else ""
        clear = told[key] and not sums[key, "unsure"] and of["planted_out"]
        out[key]["stems_per_plant"] = f"{of['stems'] / of['planted_out']:.2f}" if clear else ""
    return out


def share(part: int, whole: int) -> str:
    return f"{part / whole:.4f}" if whole else ""


def apart(sowings_csv: str, crops_csv: str) -> list[tuple[Key, str, str, str | float | None]]:
    """Every cell of crops.csv that isn't what sowings.csv adds up to."""
    want = added(sowings_csv)
    rows = list(csv.DictReader(io.StringIO(crops_csv)))
    wrong = [(key_of(row), "row", "", None) for row in rows if key_of(row) not in want]
    wrong += [
        (key, "row", str(n), 1.0)
        for key in want
        if (n := Counter(key_of(row) for row in rows)[key]) != 1
    ]
    for row in rows:
        for column, value in want.get(key_of(row), {}).items():
            if value is not None and not same(row[column], value):
                wrong.append((key_of(row), column, row[column], value))
    return wrong


def same(cell: str, value: str | float) -> bool:
    """Equal; days, which were rounded once more before they were compared, to their last digit."""
    if isinstance(value, str):
        return cell == value
    return bool(cell) and abs(float(cell) - value) < 0.0101
