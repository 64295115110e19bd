"""A folder of 200 day files, a tenth of them broken the way people break files."""

from __future__ import annotations

import datetime as dt
import random

import pytest

from kit import tables
from traybook.pipeline import load

CROPS = ("stock", "statice", "larkspur", "zinnia", "cosmos", "ammi", "scabious")


class Folder:
    """Writes day files and remembers which lines are sound and which are broken."""

    def __init__(self, seed: int) -> None:
        self.chance = random.Random(seed)
        self.codes: list[str] = []
        self.files: dict[str, bytes] = {}
        self.sound: list[tuple[str, int]] = []
        self.broken: list[tuple[str, int]] = []
        ways = list(WAYS.values())
        for i in range(200):
            day = dt.date(2025, 1, 5) + dt.timedelta(days=i)
            name = f"entries/2025/{day}.md"
            if i % 10 == 3:
                ways[i // 10 % len(ways)](self, name, self.lines())
            else:
                self.whole(name, self.lines(), 2)

    def lines(self) -> list[str]:
        """One to four sound lines of a day, about sowings sown on days that stay sound."""
        out = []
        for _ in range(self.chance.randint(1, 4)):
            code = self.chance.choice(self.codes) if self.codes else ""
            out.append(
                self.chance.choice(
                    [
                        f"checked {code}: 31 up",
                        f"moved {code}: to cold frame",
                        f"noted {code}: looks well",
                        f"hardening off {code}: out",
                    ]
                )
                if code
                else "noted: a new year"
            )
        return out

    def put(self, name: str, text: str, encoding: str = "utf-8") -> None:
        self.files[name] = text.encode(encoding)

    def whole(self, name: str, lines: list[str], first: int, head: str = "---\n") -> None:
        """A sound file, with a new sowing now and then."""
        if head == "---\n" and (len(self.codes) < 3 or self.chance.random() < 0.2):
            crop = self.chance.choice(CROPS)
            code = f"{crop}-25-{1 + sum(c.startswith(crop) for c in self.codes)}"
            self.codes.append(code)
            lines = [f"sown {code}: Blue Mist, 72-cell tray, 1 per cell, on shelf B", *lines]
        self.put(name, head + "\n".join(lines) + "\n---\n\nA plain day.\n")
        self.sound += [(name, first + i) for i in range(len(lines))]

    def after(self, name: str, broken: list[str], lines: list[str]) -> None:
        """Broken lines first, sound ones after them in the same file."""
        self.whole(name, lines, 2 + len(broken), "---\n" + "\n".join(broken) + "\n")
        self.broken += [(name, 2 + i) for i in range(len(broken))]


def tabs(f: Folder, name, lines):
    f.put(
        name,
        f"---\nchecked:\n\t{f.codes[0]}: 31 up\n  {f.codes[1]}:\t31 up\n"
        + "\n".join(lines)
        + "\n---\n",
    )
    f.sound += [(name, 3), (name, 4), *((name, 5 + i) for i in range(len(lines)))]


def truncated(f: Folder, name, lines):
    f.put(name, "---\n" + "\n".join(lines) + "\nchecked stati")
    f.sound += [(name, 2 + i) for i in range(len(lines))]
    f.broken.append((name, 2 + len(lines)))


def binary(f: Folder, name, lines):
    f.files[name] = bytes(f.chance.randrange(256) for _ in range(600))
    f.broken.append((name, 1))


def empty(f: Folder, name, lines):
    f.files[name] = b""
    f.broken.append((name, 1))


def merge(f: Folder, name, lines):
    a, b = f.codes[:2]
    n = 2 + len(lines)
    f.put(
        name,
        "---\n"
        + "\n".join(lines)
        + f"\n<<<<<<< HEAD\nchecked {a}: 30 up\n=======\nchecked {a}: 31 up\n"
        f"noted {b}: theirs\n>>>>>>> other\n---\n",
    )
    f.sound += [(name, 2 + i) for i in range(len(lines))] + [(name, n + 1), (name, n + 4)]
    f.broken += [(name, n), (name, n + 2), (name, n + 3), (name, n + 5)]


def no_such_month(f: Folder, name, lines):
    name = f"entries/2025/2025-13-{name[-5:-3]}.md"
    f.put(name, "---\n" + "\n".join(lines) + "\n---\n")
    f.broken += [(name, 2 + i) for i in range(len(lines))]


def unclosed(f: Folder, name, lines):
    f.put(name, "---\n" + "\n".join(lines) + "\n\nThe end of it.\nMore words: and so on\n")
    f.sound += [(name, 2 + i) for i in range(len(lines))]
    f.broken.append((name, 1))


def utf16(f: Folder, name, lines):
    f.put(name, "\ufeff---\r\n" + "\r\n".join(lines) + "\r\n---\r\n", "utf-16-le")
    f.sound += [(name, 2 + i) for i in range(len(lines))]


def old_letters(f: Folder, name, lines):
    f.put(name, "---\n" + "\n".join(lines) + "\n---\n\nCaf\xe9 weather.\n", "latin-1")
    f.sound += [(name, 2 + i) for i in range(len(lines))]
    f.broken.append((name, 1))


WAYS = {
    "tabs": tabs,
    "quote": lambda f, n, x: f.after(n, [f'checked {f.codes[0]}: "31 up, patchy'], x),
    "wrong code": lambda f, n, x: f.after(n, [f"checked {f.codes[0]}99: 31 up"], x),
    "impossible date": lambda f, n, x: f.after(
        n, [f"checked {f.codes[0]}: 31 up, on 2025-02-30"], x
    ),
    "truncated": truncated,
    "binary": binary,
    "empty": empty,
    "merge": merge,
    "braces": lambda f, n, x: f.after(n, [f"checked {f.codes[0]}: {{up: 31, lost: 2"], x),
    "no colon": lambda f, n, x: f.after(n, [f"checked {f.codes[0]} 31 up"], x),
    "no verb": lambda f, n, x: f.after(
        n, [f"chekd {f.codes[0]}: 31 up", f"{f.codes[0]}: 31 up", "31 up"], x
    ),
    "no such month": no_such_month,
    "unclosed": unclosed,
    "utf-16": utf16,
    "old letters": old_letters,
}


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_a_tenth_broken_loses_no_sound_line(tmp_path, seed):
    folder = Folder(seed)
    for name, data in folder.files.items():
        path = tmp_path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    assert len(folder.files) == 200

    loaded = load(tmp_path, dt.date(2026, 1, 1))
    rows = {(r["file"], int(r["line"])): r for r in tables(loaded)["events.csv"]}
    named = {(f.at.path, f.at.line) for f in loaded.findings}
    named |= {(x.at.path, x.at.line) for f in loaded.findings for x in f.also}

    assert [s for s in folder.sound if rows.get(s, {}).get("weight") not in ("ok", "doubt")] == []
    assert [b for b in folder.broken if b not in named] == []
    falls = {(f.at.path, f.at.line) for f in loaded.findings if f.name == "unexplained-fall"}
    months = {(f.at.path, 1) for f in loaded.findings if f.name == "impossible-date"}
    unended = {(f.at.path, 1) for f in loaded.findings if f.name == "unclosed-fence"}
    false = {(f.at.path, f.at.line) for f in loaded.findings} - set(folder.broken)
    assert false <= falls | months | unended, "a sound line is not complained of"
