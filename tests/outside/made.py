"""A made farm of two seasons with something of everything, and what each crop adds up to.

Invented; the sums were worked out by hand from the lines.
"""

from __future__ import annotations

import datetime as dt

SETTINGS = {
    "entries/farm.yaml": """\
name: Made Farm
dates: day first
people: [ab, cd]
bunch size: 10
harvest unit: stems
beds:
  bed 1: {length: 10 m, kind: field}
  bed 2: {length: 10 m, kind: tunnel}
""",
    "entries/crops.yaml": """\
stock:
  varieties: [Iron Rose, Pale Rose]
""",
}
DAYS = {
    "2025-03-01": """
sown stock-25-1: Iron Rose, 72 seeds, 72-cell tray
sown stock-25-2: Pale Rose, 100 seeds, open tray
sown aster-25-1: 60 seeds, open tray
""",
    "2025-03-08": """
checked stock-25-1: 20 up
checked stock-25-2: none up
checked aster-25-1: none up
""",
    "2025-03-13": """
checked stock-25-1: 50 up, 4 lost to damping off
checked stock-25-2: 80 up
finished aster-25-1: dropped the tray
""",
    "2025-04-20": """
planted out stock-25-1: 40 to bed 1 at 20 cm, 4 rows, 10 spare
planted out stock-25-2: 70 to bed 2 at 20 cm, 4 rows
sold stock-25-2: 6
gave stock-25-2: 4
""",
    "2025-06-20": """
harvested stock-25-1: 60 stems
harvested stock-25-2: 5 bunches
""",
    "2025-07-01": """
harvested stock-25-1: 20 stems
harvested stock-25-2: 34 stems
finished stock-25-1: season over
finished stock-25-2: season over
""",
    "2026-02-20": """
sown stock-26-1: Iron Rose, 72 cells of a 72-cell tray, 2 per cell
sown stock-26-2: Iron Rose, 36 cells of a 72-cell tray, 2 per cell
sown stock-26-3: Pale Rose, 50 seeds, damp paper
sown aster-26-1: 128 seeds, open tray
sown aster-26-2: 50 seeds, open tray
""",
    "2026-03-01": """
checked stock-26-1: 60 cells
checked stock-26-2: 30 cells, 48 seedlings
checked stock-26-3: 20 sprouted, 20 to 72-cell tray
checked aster-26-1: 90 up
checked aster-26-2: none up
""",
    "2026-03-10": """
checked stock-26-1: 64 cells
checked stock-26-2: 34 cells, 60 seedlings
checked stock-26-3: 15 to 72-cell tray
finished stock-26-3: paper, 15 seeds thrown
checked aster-26-2: 40 up
private sown sweet-william-26-1: 40 seeds, open tray
private sown aster-26-3: 30 seeds, open tray
private checked aster-26-3: 21 up
""",
    "2026-04-01": """
sown nigella-26-1: 200 seeds, in bed 1
""",
    "2026-04-20": """
checked nigella-26-1: 120 up
planted out stock-26-2: 30 to bed 1 at 20 cm, 4 rows
planted out aster-26-1: 80 to bed 1
planted out aster-26-2: 40 to bed 2
finished stock-26-1: sold out of room
""",
    "2026-06-15": """
harvested stock: 40 stems
harvested aster-26-1: 70 stems
harvested aster: 30 stems
harvested nigella-26-1: 50 stems
""",
    "2026-08-01": """
finished stock-26-2: pulled
finished nigella-26-1: pulled
finished aster-26-3: private end
""",
}
AS_OF = dt.date(2026, 9, 1)

#: By hand: sowings, seeds, emerged, good, planted out, stems of each crop, season and measure, and
#: stems a plant.
#: Stock 2025: 54 (50 standing, 4 lost) of 72 and 80 of 100; good 40 + 10 and 70 + 6 + 4; 80 stems,
#: and 5 bunches of 10 + 34.
#: Aster 2025 was lost whole to an accident and doesn't enter. Of aster 2026 one sowing was emptied
#: with 40 of 50, the other still stands and doesn't enter; 30 stems stay with the crop.
#: Stock 2026: 64 of 72 cells with 2 seeds each are p = 1 - sqrt(8/72) = 2/3, so 96 of 144; 60 of 72
#: were counted; on paper 20 + 15 of 50. The crop's 40 stems are the one sowing's that was planted.
BY_HAND = {
    ("stock", "2025", "up"): (2, 172, 134, 130, 110, 164, "1.49"),
    ("aster", "2025", "up"): (1, 0, 0, 0, 0, 0, ""),
    ("stock", "2026", "up"): (2, 216, 156, 30, 30, 40, "1.33"),
    ("stock", "2026", "sprouted"): (1, 50, 35, 0, 0, 0, ""),
    ("aster", "2026", "up"): (2, 50, 40, 120, 120, 70, ""),
    ("nigella", "2026", "stand"): (1, 200, 120, 0, 0, 50, ""),
}
#: What private lines add in the grower's own tables: 21 of 30 asters, and sweet william.
OWN = BY_HAND | {
    ("aster", "2026", "up"): (3, 80, 61, 120, 120, 70, ""),
    ("sweet william", "2026", "up"): (1, 0, 0, 0, 0, 0, ""),
}
#: Good plants by what they were each a share of: 130 of 172 seeds; 0 of 60 seeds; 0 of 72 and 30 of
#: 36 cells. Half days: 7 + 5 x 7/34 and 7 + 5 x 40/80, in the middle 8.76; 9 + 9 x 20/40.
GOOD_SHARE = {
    ("stock", "2025", "up"): "0.7558",
    ("aster", "2025", "up"): "0.0000",
    ("stock", "2026", "up"): "0.2778",
}
HALF_DAY = {("stock", "2025", "up"): "8.76", ("aster", "2026", "up"): "13.50"}


def stock_score(p: float, rho: float) -> float:
    """Nought at the germination of stock 2026 in trays: 60 of 72 seeds and 64 of 72 cells of two seeds,
    when two seeds of one sowing both fail with chance q (q (1 - rho) + rho)."""
    q = 1 - p
    filled, slope = 1 - q * (q * (1 - rho) + rho), 2 * q * (1 - rho) + rho
    return (60 - 72 * p) / (p * q) + (64 - 72 * filled) * slope / (filled * (1 - filled))


def files() -> dict[str, bytes]:
    out = {name: text.encode() for name, text in SETTINGS.items()}
    return out | {f"entries/{day}.md": text.lstrip().encode() for day, text in DAYS.items()}
