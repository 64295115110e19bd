"""Numbers, lengths and days as growers write them."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import dataclass

_ONES = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
         "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")  # fmt: skip
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_WORDS = {
    **dict.fromkeys(("none", "nothing", "nil", "zero"), 0),
    **{word: n for n, word in enumerate(_ONES, 1)},
    **{word: n * 10 for n, word in enumerate(_TENS, 2)},
    "half a dozen": 6,
    "a dozen": 12,
    "a couple": 2,
    "a hundred": 100,
}
_PARTS = {"¼": 0.25, "½": 0.5, "¾": 0.75, "⅓": 1 / 3, "⅔": 2 / 3, "⅛": 0.125}
_SHARES = ("all", "half", "rest", "the rest", "the lot", "every one", "everything")

#: A number as a pattern: digits (1,200), a fraction, or a word; perhaps said to be about.
DIGITS = r"(?:\d{1,3}(?:,\d{3})+(?!\d)|\d+)(?:\.\d+)?"
_SMALL = rf"(?:(?:{'|'.join(_TENS)})(?:[- ](?:{'|'.join(_ONES[:9])}))?|{'|'.join(_ONES)})"
_WORDED = (
    rf"(?:(?:an?|{'|'.join(_ONES[:9])})\s+hundred(?:\s+and\s+{_SMALL})?|{_SMALL}\s+dozen"
    rf"|{'|'.join(_WORDS)}|{_SMALL})"
)
NUMBER = (
    r"(?:(?:about|around|roughly|approx\.?|circa|ca\.?|c\.|nearly|over|say)\s+|~\s*)?"
    rf"(?:(?:{DIGITS})[¼½¾⅓⅔⅛]?|[¼½¾⅓⅔⅛]|"
    rf"(?:{_WORDED}|{'|'.join(_SHARES)})(?![\w-]))"
    r"(?:\s*-?ish\b|\+)?(?:\s*%)?"
)
_ABOUT = re.compile(r"(?:about|around|roughly|approx\.?|circa|ca\.?|c\.|nearly|over|say)\s+|~")


@dataclass(frozen=True, slots=True)
class Amount:
    """A number that was written.

    `value` is None for `all`, `half` and `rest`, which `share` then holds; `about` marks an
    estimate; `percent` a share of a hundred.
    """

    value: float | None
    share: str = ""
    about: bool = False
    percent: bool = False

    @property
    def whole(self) -> int | None:
        """The number as a count; None when it is none, or not a whole number."""
        if self.value is None or self.percent or self.value != int(self.value):
            return None
        return int(self.value)

    def said(self) -> str:
        """Back in plain words: `31`, `about 60`, `80 %`, `half`."""
        if self.value is None:
            return self.share
        number = f"{self.value:,.0f}" if self.value == int(self.value) else f"{self.value:g}"
        return ("about " if self.about else "") + number + (" %" if self.percent else "")


def amount(text: str) -> Amount:
    """Read what NUMBER matched."""
    flat = text.strip().lower()
    percent = flat.endswith("%")
    flat = flat.removesuffix("%").strip()
    about = percent
    lead = _ABOUT.match(flat)
    if lead:
        about, flat = True, flat[lead.end() :].strip()
    for tail in ("+", "ish"):
        if flat.endswith(tail):
            about, flat = True, flat.removesuffix(tail).rstrip(" -")
    if flat in _SHARES:
        return Amount(
            None,
            {"the lot": "all", "every one": "all", "everything": "all"}.get(
                flat, flat.removeprefix("the ")
            ),
            about,
        )
    if re.fullmatch(_WORDED, flat):
        return Amount(float(whole_number(flat)), "", about, percent)
    extra = 0.0
    if flat[-1:] in _PARTS:
        extra, flat = _PARTS[flat[-1]], flat[:-1]
    return Amount(float(flat.replace(",", "") or 0) + extra, "", about, percent)


def whole_number(text: str) -> int:
    """Digits or number words as a whole number.

    >>> whole_number("72"), whole_number("half a dozen"), whole_number("One hundred and twenty-five")
    (72, 6, 125)
    """
    if text.isdigit():
        return int(text)
    flat = text.lower()
    if flat in _WORDS:
        return _WORDS[flat]
    if flat.endswith(" dozen"):
        return 12 * whole_number(flat.removesuffix(" dozen"))
    hundreds, hundred, rest = flat.rpartition("hundred")
    parts = [p for p in re.split(r"[\s-]+|and\b", rest) if p]
    many = _WORDS.get(hundreds.strip(), 1) * 100 if hundred else 0
    return many + sum(_WORDS[p] for p in parts)


_MM = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "metre": 1000.0,
    "metres": 1000.0,
    "meter": 1000.0,
    "meters": 1000.0,
    "in": 25.4,
    "inch": 25.4,
    "inches": 25.4,
    '"': 25.4,
    "ft": 304.8,
    "foot": 304.8,
    "feet": 304.8,
    "'": 304.8,
    "yd": 914.4,
    "yards": 914.4,
}
_FRACTION = r"(?:(?:\d+[ -])?\d+/\d+|\d*\.?\d+[¼½¾⅛]?|[¼½¾⅛])"
#: A length as a pattern: a number or fraction and its unit, if it has one.
LENGTH = (
    rf"{_FRACTION}\s*(?:mm\b|cm\b|metres?\b|meters?\b|m\b|inch(?:es)?\b|in\b|\"|feet\b|foot\b"
    rf"|ft\b|'|yd\b|yards\b)?"
)
_LENGTH = re.compile(rf"({_FRACTION})\s*(.*)$")


def length_mm(text: str, unit: str) -> float | None:
    """A length in millimetres; a bare number takes `unit`. None if it is no length.

    >>> length_mm('1/4"', "mm"), length_mm("40 ft", "m"), length_mm("30", "cm")
    (6.35, 12192.0, 300.0)
    """
    found = _LENGTH.match(text.strip())
    if not found:
        return None
    number, name = found.group(1), found.group(2).strip().lower() or unit
    if name not in _MM:
        return None
    return round(_number(number) * _MM[name], 3)


def _number(text: str) -> float:
    if text[-1] in _PARTS:
        return (float(text[:-1]) if text[:-1] else 0.0) + _PARTS[text[-1]]
    whole, _, part = text.replace("-", " ").rpartition(" ")
    if "/" in part:
        top, bottom = part.split("/")
        return (float(whole) if whole else 0.0) + (float(top) / (float(bottom) or 1.0))
    return float(part)


_MONTHS = {
    m: i
    for i, m in enumerate(
        ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec"), 1
    )
}
#: The months' full names.
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September",
          "October", "November", "December")  # fmt: skip
_DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_MONTH = r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)[a-z]*\.?"
#: A day as a pattern, in any of the ways `day` reads.
DAY = (
    r"(?:\d{4}[-/.]\d{1,2}[-/.]\d{1,2}"
    rf"|\d{{1,2}}(?:st|nd|rd|th)?\s+(?:of\s+)?{_MONTH}(?:,?\s+\d{{4}})?(?![\w])"
    rf"|{_MONTH}\s+\d{{1,2}}(?:st|nd|rd|th)?(?:,?\s+\d{{4}})?(?![\w])"
    r"|\d{1,2}/\d{1,2}(?:/\d{2,4})?"
    r"|\d{1,2}\.\d{1,2}\.(?:\d{2,4})?"
    r"|yesterday|today|(?:last\s+)?(?:mon|tue|wed|thu|fri|sat|sun)(?:s|nes|rs|ur)?(?:day)?(?!\w))"
)


@dataclass(frozen=True, slots=True)
class Day:
    """A day that was read: `on`, or None with the reason in `problem`; `unsure` when a date in
    figures could be read either way round."""

    on: dt.date | None
    problem: str = ""
    unsure: bool = False


def _date(year: int, month: int, day: int) -> Day:
    try:
        return Day(dt.date(year, month, day))
    except ValueError:
        if not 1 <= month <= 12:
            return Day(None, f"there is no month {month}")
        return Day(None, f"month {month} of {year} has no day {day}")


def iso_day(text: str) -> Day:
    """A day written year first, as in file names: 2026-03-14."""
    found = re.match(r"(\d{4})[-/.](\d{1,2})[-/.](\d{1,2})$", text.strip())
    if not found:
        return Day(None, "a day is written year-month-day, as 2026-03-14")
    return _date(*(int(x) for x in found.groups()))


def day(text: str, near: dt.date, day_first: bool | None) -> Day:
    """Read a day; one without a year is the last such day on or before `near`.

    `day_first` is how the farm writes 3/4; None when it never said, and then a date that could
    be either is read day first and marked unsure.
    """
    flat = text.strip().lower()
    if not re.fullmatch(DAY, flat):
        return Day(None, "it can't be read")
    if re.match(r"\d{4}\D", flat):
        return iso_day(flat)
    if flat in ("today", "yesterday"):
        return Day(near - dt.timedelta(days=flat == "yesterday"))
    week = flat.removeprefix("last ").strip()[:3]
    if week in _DAYS and not re.search(r"\d", flat):
        return Day(near - dt.timedelta(days=(near.weekday() - _DAYS.index(week)) % 7))
    figures = [int(x) for x in re.findall(r"\d+", flat)]
    named = re.search(_MONTH, flat)
    if named:
        return _near(_MONTHS[named.group()[:3]], figures[0], figures[1:], near)
    return _figures(figures, near, day_first)


def _figures(figures: list[int], near: dt.date, day_first: bool | None) -> Day:
    a, b = figures[0], figures[1]
    unsure = day_first is None and a <= 12 and b <= 12 and a != b
    month_first = b > 12 if day_first is None else not day_first
    if (month_first and a > 12 >= b) or (not month_first and b > 12 >= a):
        month_first = not month_first
    read = _near(a if month_first else b, b if month_first else a, figures[2:], near)
    return Day(read.on, read.problem, unsure)


def _near(month: int, day_: int, year: list[int], near: dt.date) -> Day:
    if year:
        return _date(year[0] + 2000 if year[0] < 100 else year[0], month, day_)
    this = _date(near.year, month, day_)
    if this.on is None or this.on > near:
        earlier = _date(near.year - 1, month, day_)
        return earlier if earlier.on else this
    return this


def day_of_year(text: str) -> tuple[int, int] | None:
    """Month and day of a day that comes every year; 29 February is taken for the day before.

    >>> day_of_year("8 May"), day_of_year("8 Mayy"), day_of_year("31 April")
    ((5, 8), None, None)
    """
    words = text.strip().strip("'\"").lower()
    named = re.search(rf"{_MONTH}", words)
    if named and not any(m.lower().startswith(named.group().rstrip(".")) for m in MONTHS):
        return None
    on = day(words, dt.date(2024, 12, 31), True).on if words else None
    if on is None or (named is None and not re.search(r"\d", words)):
        return None
    return on.month, 28 if (on.month, on.day) == (2, 29) else on.day
