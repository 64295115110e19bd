"""JSON Schema (2020-12) of the YAML that growers write, for editors: made from the table of verbs."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Mapping
from typing import Any

from traybook.records.plans import PLAN_HELP
from traybook.records.settings import CROP_HELP, FARM_HELP
from traybook.records.verbs import VERBS, Verb

Shape = dict[str, Any]
_DRAFT = "https://json-schema.org/draft/2020-12/schema"
_SCALAR: Shape = {"type": ["string", "number", "boolean", "null"]}
_LIST: Shape = {"type": "array", "items": _SCALAR}
#: What any line may carry.
ANY_LINE = {
    "by": "initials of whoever did it",
    "on": "the day, where it isn't the file's",
    "note": "words",
    "why": "words",
    "allow": "names of doubts not to raise about this line",
    "private": "yes keeps it from the site",
    "cost": "what it cost; never published",
    "photo": "a picture's file name",
    "time": "the time of day",
}
_ANY_LINE_ALSO = ("notes", "date", "who")
_FILE_KEYS = {
    "date": "the file's day, where its name doesn't say it",
    "day": "the same",
    "by": "initials of whoever wrote the file",
    "who": "the same",
    "private": "true keeps the whole file from the site",
    "title": "for yourself; not read",
    "tags": "for yourself; not read",
}
_PRIVATE = r"(?:[Pp][Rr][Ii][Vv][Aa][Tt][Ee]:?\s+)?"


def schemas() -> dict[str, str]:
    """Every schema as text, by file name."""
    shapes = {"day": _day(), "farm": _farm(), "crops": _crops(), "plan": _plan()}
    return {
        f"{name}.json": json.dumps(s, indent=1, ensure_ascii=False) + "\n"
        for name, s in shapes.items()
    }


def spelling(name: str) -> str:
    """A pattern for a name in any case, with blanks, `_` or `-` between its words."""
    words = [
        "".join(f"[{c.upper()}{c.lower()}]" if c.isalpha() else re.escape(c) for c in word)
        for word in re.split(r"[\s_\-]+", name)
    ]
    return r"[\s_\-]+".join(words)


def _keyed(
    help_: Mapping[str, str], shapes: Mapping[str, Shape] | None = None, also: Iterable[str] = ()
) -> Shape:
    """An object with these keys, in any spelling, and no others."""
    given = shapes or {}
    named = {key: {"description": text, **given.get(key, _SCALAR)} for key, text in help_.items()}
    loose = {f"^{spelling(key)}$": given.get(key, _SCALAR) for key in (*help_, *also)}
    return {
        "type": "object", "properties": named, "patternProperties": loose, "additionalProperties": False,
    }  # fmt: skip


# -- day files


def _day(verbs: tuple[Verb, ...] = VERBS) -> Shape:
    """A day file: keys are `verb subject`; a verb that isn't known is a doing and free."""
    patterns = {}
    # `planted out` is no `planted` of something called out.
    names = "|".join(spelling(n) for v in verbs for n in (v.name, *v.also) if " " in n)
    subject = rf"(?!{_PRIVATE}(?:{names})$)"
    named: Shape = {key: {"description": text, **_SCALAR} for key, text in _FILE_KEYS.items()}
    for verb in verbs:
        names = "|".join(
            spelling(n) for n in sorted({verb.name, *verb.also}, key=lambda n: (-len(n), n))
        )
        patterns[f"^{subject}{_PRIVATE}(?:{names})\\s+\\S"] = _ref(verb)
        patterns[f"^{_PRIVATE}(?:{names})$"] = _ref(verb, "s")
        named[verb.name] = {"description": verb.help, **_ref(verb, "s")}
    defs: Shape = {}
    for verb in verbs:
        defs[_name(verb)] = _event(verb)
        defs[_name(verb) + "s"] = _block(verb)
    return {
        "$schema": _DRAFT, "title": "Traybook: a day's entries",
        "description": "Keys are a verb and its subject, as `checked stock-26-1`; values are clauses, or fields.",
        "type": ["object", "null"], "properties": named, "patternProperties": patterns, "$defs": defs,
    }  # fmt: skip


def _name(verb: Verb) -> str:
    return verb.name.replace(" ", "-")


def _ref(verb: Verb, more: str = "") -> Shape:
    return {"$ref": f"#/$defs/{_name(verb)}{more}"}


def _event(verb: Verb) -> Shape:
    """One event: clauses as text, a list of them, or fields."""
    return {"description": verb.help, "anyOf": [_SCALAR, _LIST, _fields(verb)]}


def _fields(verb: Verb) -> Shape:
    if verb.words:
        return {"type": "object"}
    help_: dict[str, str] = {}
    for field in verb.fields:
        for key in (*field.keys, field.name.replace("_", " ")):
            help_.setdefault(key, f"{field.help}, as `{field.example}`")
    value: Shape = {"anyOf": [_SCALAR, _LIST]}
    every = help_ | ANY_LINE
    shape = _keyed(every, dict.fromkeys(every, value), _ANY_LINE_ALSO)
    if any(f.name == "sample" for f in verb.fields):
        part = r"^(?:tray|flat|pot|row|box|half|side)\s+\w+$"
        shape["patternProperties"][part] = _SCALAR
    return shape


def _block(verb: Verb) -> Shape:
    """A verb alone: subjects under it with an event each, a list of subjects, or one event."""
    subjects: Shape = {"type": "object", "additionalProperties": _ref(verb)}
    items: Shape = {"type": "array", "items": {"anyOf": [_SCALAR, subjects]}}
    fields = _fields(verb)
    return {
        "description": verb.help,
        "anyOf": [_SCALAR, items, fields, _no_field(subjects, fields)],
    }


def _no_field(subjects: Shape, fields: Shape) -> Shape:
    """Subjects only, so that a wrong field beside right ones isn't taken for a subject."""
    keys = fields.get("patternProperties", {})
    return {**subjects, "propertyNames": {"not": {"pattern": "|".join(keys)}}} if keys else subjects


# -- settings


def _names() -> Shape:
    """Names as words between commas, a list, or keys with facts of their own."""
    facts: Shape = {"anyOf": [_SCALAR, {"type": "object", "additionalProperties": _SCALAR}]}
    return {"anyOf": [_SCALAR, _LIST, {"type": "object", "additionalProperties": facts}]}


def _one_of(*words: str) -> Shape:
    return {"anyOf": [{"enum": list(words)}, {"pattern": f"^(?:{'|'.join(spelling(w) for w in words)})$"}],
            "type": "string"}  # fmt: skip


def _farm() -> Shape:
    number: Shape = {"type": ["number", "string"], "pattern": r"^-?\d"}
    tables: Shape = {"type": ["object", "string", "null"]}
    shapes = {
        "units": _one_of("metric", "imperial", "us", "feet"), "dates": _one_of("day first", "month first"),
        "latitude": number, "longitude": number, "places": _names(), "beds": _names(), "trays": _names(),
        "people": {"anyOf": [_SCALAR, _LIST]}, "frost dates": tables, "publish": tables,
        "bunch size": number, "harvest unit": _one_of("stems", "bunches"), "count in": _one_of("cells", "seedlings"),
    }  # fmt: skip
    return {
        "$schema": _DRAFT,
        "title": "Traybook: farm.yaml",
        **_keyed(FARM_HELP, shapes),
        "type": ["object", "null"],
    }


def _crops() -> Shape:
    number: Shape = {"type": ["number", "string"], "pattern": r"^\d"}
    names: Shape = {"anyOf": [_SCALAR, _LIST]}
    shapes = {
        "days to sprout": number, "days to bloom": number, "stems per plant": number,
        "weeks under cover": number, "seeds per gram": number, "bunch size": number,
        "varieties": names, "spellings": names,
    }  # fmt: skip
    crop = {**_keyed(CROP_HELP, shapes), "type": ["object", "null"]}
    return {
        "$schema": _DRAFT, "title": "Traybook: crops.yaml", "type": ["object", "null"],
        "description": "A kind each, with its facts.", "additionalProperties": crop,
    }  # fmt: skip


def _plan() -> Shape:
    """A year's plan: a kind each, with what is meant for it."""
    return {
        "$schema": _DRAFT, "title": "Traybook: a year's plan", "type": ["object", "null"],
        "description": "A kind each (with its variety, if you like), and how much of it is wanted when.",
        "additionalProperties": {"anyOf": [_SCALAR, _keyed(PLAN_HELP)]},
    }  # fmt: skip
