"""A new farm's files as texts, from a few answers."""

from __future__ import annotations

import datetime as dt
import json
import re
from dataclasses import dataclass

from traybook.text.scalars import DAY

_DEGREES = r"(-?\d{1,3}(?:[.,]\d+)?)\s*°?\s*"
_PLACE = re.compile(rf"{_DEGREES}([NSns]?)\s*[,;/ ]\s*{_DEGREES}([EWew]?)$")


@dataclass(frozen=True, slots=True)
class Answers:
    """What a new grower said; all of it may be empty. `units` is metric or imperial, `place`
    latitude and longitude or words."""

    name: str = ""
    units: str = ""
    place: str = ""
    last_frost: str = ""
    first_frost: str = ""
    bunch: str = ""


def trouble_with(field: str, said: str) -> str:
    """Why an answer can't be used; empty when it can."""
    flat = said.strip().casefold()
    if field == "units" and flat not in ("", "metric", "imperial"):
        return "say metric or imperial"
    if field == "bunch" and flat and not re.fullmatch(r"[1-9]\d{0,2}", flat):
        return "say how many stems make a bunch, as 10"
    if field.endswith("frost") and flat and not re.fullmatch(DAY, flat):
        return "say a day, as 8 May"
    if field == "place" and (spot := _PLACE.match(said.strip())) and not _on_earth(spot):
        return "latitude runs to 90 and longitude to 180"
    return ""


def farm_texts(said: Answers, today: dt.date) -> dict[str, str]:
    """The new folder's files by path; everything in them can be used as it stands."""
    return {
        "entries/farm.yaml": _farm(said),
        "entries/crops.yaml": _CROPS,
        f"entries/{today:%Y}/{today}.md": _FIRST_DAY,
        "mkdocs.yml": _MKDOCS.format(name=json.dumps(said.name or "My farm", ensure_ascii=False)),
        "README.md": _README.format(name=said.name or "This farm", day=today, year=f"{today:%Y}"),
    }


def _farm(said: Answers) -> str:
    imperial = said.units.strip().casefold() == "imperial"
    spot = _PLACE.match(said.place.strip())
    lines = [
        "# yaml-language-server: $schema=../schema/farm.json",
        "# What holds for the whole farm. Any of it may be missing; take off a # to use a line.",
        _setting("name", said.name, "My farm"),
        f"units: {'imperial' if imperial else 'metric'}",
        "# How you write 3/4: `day first` means the third of April.",
        f"dates: {'month first' if imperial else 'day first'}",
    ]
    if said.place and not spot:
        lines.append(
            f"# Near {' '.join(said.place.split())}. Latitude and longitude tell the length of the days:"
        )
    lines += [
        _setting("latitude", _degrees(spot, 1) if spot else "", "52.3"),
        _setting("longitude", _degrees(spot, 3) if spot else "", "-2.6"),
        _setting("last frost", said.last_frost, "8 May"),
        _setting("first frost", said.first_frost, "12 October"),
        _setting("bunch size", said.bunch, "10"),
        "# Whoever writes besides you, by initials; a file 2026-03-14-jo.md is then Jo's.",
        "# people: [jo, mw]",
        "# places:",
        "#   warm shelf: {temperature: 21 C, light: lamps, trays: 8}",
        "# beds:",
        "#   bed 1: {length: 12 m, width: 1.2 m, kind: field}",
    ]
    return "\n".join(lines) + "\n"


def _setting(key: str, value: str, example: str) -> str:
    flat = " ".join(value.split())
    if not flat:
        return f"# {key}: {example}"
    return f"{key}: {_quoted(flat) if key == 'name' else flat}"


def _quoted(name: str) -> str:
    """A name that YAML would read as something else is put in quotes."""
    plain = re.fullmatch(r"[^\W\d][\w '&.()-]*", name) and name.casefold() not in (
        "yes",
        "no",
        "true",
        "false",
        "null",
        "on",
        "off",
    )
    return name if plain else json.dumps(name, ensure_ascii=False)


def _degrees(spot: re.Match[str], group: int) -> str:
    """Degrees with a sign: south and west are minus."""
    number = spot[group].replace(",", ".")
    minus = spot[group + 1].casefold() in ("s", "w") and not number.startswith("-")
    return f"-{number}" if minus else number


def _on_earth(spot: re.Match[str]) -> bool:
    return abs(float(_degrees(spot, 1))) <= 90 and abs(float(_degrees(spot, 3))) <= 180


_CROPS = """\
# yaml-language-server: $schema=../schema/crops.json
# What you know of a kind, in your own words. Any of it may be missing; take off a # to use a line.
# larkspur:
#   days to sprout: 14-28
#   sown late for next year: yes
#   varieties: [Mist Tower]
#   spellings: [larkspurs]
#   bunch size: 10
"""

_FIRST_DAY = """\
---
noted: the first day of this journal
# Lines that begin with # are not read. Copy these two, take off the # and write your own:
# sown larkspur: Mist Tower, 72-cell tray, 72 seeds, cellar floor
# checked larkspur: 31 up, 2 lost to mice; patchy at the back
---
Below the second row of dashes you can write a diary, in as many words as you like.
"""

_MKDOCS = """\
site_name: {name}
plugins: [traybook]
"""

_README = """\
# {name}

A season journal. Everything you write stands in `entries/`, as plain text that is yours; the rest is made from it.

## Writing

Every day has a file named by its date, as `entries/{year}/{day}.md`. Between two rows of `---` stands a line for what you
did or saw:

    sown larkspur: Mist Tower, 72-cell tray, 72 seeds, cellar floor
    checked larkspur: 31 up, 2 lost to mice

On this machine a command writes the line into the right file and shows how it is read: `traybook sow larkspur, 72 seeds`,
`traybook check larkspur 31 up`. Without words (`traybook check`) it asks.

## From a phone

Two ways. Keep this folder in a synced folder (any that both phone and computer can see) and write in the day's file with
the phone's own text editor. Or write the lines into a message to yourself, save it as a text file, and let
`traybook take FILE` put each line into its day; it shows what it understood before it writes.

## Checking

`traybook proof` reads everything and says what is odd or missing, and what to do. `traybook why NAME` says more.

## The site

`traybook preview` serves your own pages, on this machine only, and makes them anew when you write.
`traybook site` makes the site for helpers in `site/`: open `site/index.html`, or copy the folder to any web space or
memory stick. Lines that begin with `private`, costs, and whom you sold to are never in it.

## Settings

`entries/farm.yaml` and `entries/crops.yaml` say what holds for the whole farm and for a kind. Both may stay empty. Editors
that know YAML schemas complete their keys by the files in `schema/`.

## Tables

`traybook export --to tables --own` writes everything as CSV. `traybook import FILE` reads such a table, or one of your own,
back into entries.
"""
