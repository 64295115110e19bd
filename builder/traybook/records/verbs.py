"""The one table of verbs: reader, findings, commands, exports and the manual rest on it."""

from __future__ import annotations

import re

from traybook.records import verbs_seed as seed
from traybook.records import verbs_sowing as sowing
from traybook.records.field import Field, Verb
from traybook.text.names import fold, near

VERBS: tuple[Verb, ...] = (
    Verb("sown", ("sowed", "sow", "seeded", "sowing"), "new sowing",
         (seed.BEFORE_SOWING, *sowing.SOWN), "seed put in"),
    Verb("arrived", ("arrival", "plugs arrived"), "new sowing", seed.ARRIVED, "plants bought in"),
    Verb("resown", ("re-sown", "resowed", "re-sowed", "resow"), "sowing", seed.RESOWN,
         "empty cells of a sowing sown again"),
    Verb("checked", ("check", "chk", "chkd", "chk'd", "ck", "looked at", "counted"), "sowing",
         (*sowing.CHECKED, sowing.CELLS_KEY, sowing.SEEDLINGS_KEY),
         "a look at a sowing, with what was counted"),
    Verb("moved", ("move", "shifted"), "sowing", sowing.MOVED, "to another place"),
    Verb("pricked out", ("prick out", "pricking out", "pricked", "pricked off", "pr out"), "sowing",
         (*sowing.TAKE, sowing.INTO), "seedlings to cells of their own"),
    Verb("potted on", ("pot on", "potting on", "potted up", "pot up", "potted", "bumped", "bumped up", "bump"),
         "sowing", (*sowing.TAKE, sowing.INTO), "to a larger cell or pot"),
    Verb("thinned", ("thin", "thinning"), "sowing", sowing.THINNED, "some taken out to give room"),
    Verb("pinched", ("pinch", "topped", "pinched out", "pinching"), "sowing", seed.PINCHED,
         "tops taken out to make them branch"),
    Verb("hardening off", ("harden off", "hardened off", "hardening", "hardening of", "harden of"), "sowing",
         (Field("state", ("(?P<text>.+)",), "nights in", "out, nights in, back in"),),
         "getting used to the open air"),
    Verb("planted out", ("plant out", "planting out", "planted", "transplanted", "set out"), "sowing",
         sowing.PLANTED, "to the bed"),
    Verb("harvested", ("harvest", "cut", "picked"), "cut", sowing.HARVESTED, "stems cut"),
    Verb("bunch", ("bunches", "bunch size"), "farm", seed.BUNCH,
         "stems in a bunch from that day on, for a crop or the farm", common=True),
    Verb("sold", ("sell",), "sowing", sowing.SPARED, "plants sold"),
    Verb("gave", ("given", "give", "gave away"), "sowing", sowing.SPARED, "plants given away"),
    Verb("spare", ("spared", "spares"), "sowing", sowing.SPARED, "good plants put by with no bed"),
    Verb("finished", ("finish", "fin", "pulled", "composted", "cleared"), "sowing", sowing.FINISHED,
         "the end of a sowing, or of one stand of it"),
    Verb("received", ("got", "bought"), "lot", seed.LOT, "seed that came"),
    Verb("have", ("in hand", "in stock", "stock check"), "lot", seed.LOT, "seed that is in hand now",
         common=True),
    Verb("ordered", ("order", "ord"), "lot", seed.LOT, "seed ordered", common=True),
    Verb("tested", ("test", "germ test", "germination test"), "lot", seed.TESTED,
         "a few seeds of a lot put to the test; never a sowing", common=True),
    Verb("chilled", ("chill", "stratified", "stratify", "chilling"), "lot or sowing", seed.TREATED,
         "cold, of a lot or of a sowing"),
    Verb("soaked", ("soak", "soaking"), "lot or sowing", seed.TREATED, "in water"),
    Verb("nicked", ("nick", "scarified", "scarify", "chipped"), "lot or sowing", seed.TREATED,
         "the seed coat opened"),
    Verb("warmed", ("warm", "warm treatment"), "lot or sowing", seed.TREATED, "warmth before cold or sowing",
         common=True),
    Verb("frozen", ("froze", "freeze"), "lot or sowing", seed.TREATED, "below freezing"),
    Verb("corrected", ("correct", "correction"), "correction", seed.CORRECTED,
         "another count for a day that was written before"),
    Verb("dropped", ("struck out",), "correction", (), "a day's lines about a sowing that don't hold"),
    Verb("swapped", ("swap",), "correction", seed.SWAPPED, "two sowings whose tags were changed over"),
    Verb("renamed", ("rename",), "correction", seed.RENAMED, "a sowing that is another variety"),
    Verb("netted", ("net",), "any", seed.NETTED, "from that day under net"),
    Verb("covered", ("cover", "fleeced"), "any", seed.NETTED, "from that day under fleece or the like"),
    Verb("seen", ("spotted",), "any", seed.SEEN, "a pest or a disease", common=True),
    Verb("weather", (), "farm", seed.WEATHER, "the day's weather", common=True),
    Verb("temperature", ("temp",), "place", seed.TEMPERATURE, "how warm a place is", common=True),
    Verb("keep", (), "any", (), "grow it again, and why", words=True, common=True),
    Verb("drop", (), "any", (), "don't grow it again, and why", words=True, common=True),
    Verb("more", (), "any", (), "grow more of it, and why", words=True, common=True),
    Verb("less", ("fewer",), "any", (), "grow less of it, and why", words=True, common=True),
    Verb("noted", ("note", "notes"), "any", (), "anything worth keeping", words=True),
    Verb("lesson", ("lessons", "learned", "learnt"), "any", (), "what to do differently", words=True),
    Verb("question", ("asked", "ask"), "any", (), "what somebody should answer", words=True, common=True),
    Verb("answered", ("answer",), "any", (), "the answer to an open question", words=True, common=True),
)  # fmt: skip

_BY_NAME = {fold(name): verb for verb in VERBS for name in (verb.name, *verb.also)}
_LONGEST = max(len(n.split()) for n in _BY_NAME)
# Doings that are one letter from a verb: never asked about.
_DOINGS = frozenset(
    ("weeded", "fed", "watered", "mulched", "sprayed", "staked", "tied", "aired", "washed", "cleaned",
     "mixed", "turned", "shaded", "raked", "dug", "seeds", "rested", "baited", "heated")
)  # fmt: skip
# Letters that stand for more than one verb, or for one of two words: asked about.
_SHORT = {
    "p": ("pricked out", "potted on"),
    "po": ("potted on", "planted out"),
    "pr": ("pricked out",),
    "pl": ("planted out",),
    "h": ("hardening off",),
    "ho": ("hardening off",),
    "hv": ("harvested",),
}
#: Spellings of every verb, for near misses.
VERB_NAMES: tuple[str, ...] = tuple(dict.fromkeys(_BY_NAME))
# Filled as verbs are met: compiling them all takes longer than a press of Tab may.
_COMPILED: dict[str, tuple[tuple[Field, tuple[re.Pattern[str], ...]], ...]] = {}
_KEYED: dict[Field, tuple[re.Pattern[str], ...]] = {}
_KEYS = {
    v.name: {
        fold(k): f for f in reversed(v.fields) for k in (f.name, f.name.replace("_", " "), *f.keys)
    }
    for v in VERBS
}


def verb_at(words: str) -> tuple[Verb, int] | None:
    """The verb a line begins with and how many characters of it that takes."""
    parts = list(re.finditer(r"[^\W\d_]+", words))[:_LONGEST]
    if not parts or parts[0].start() != 0:
        return None
    for many in range(len(parts), 0, -1):
        end = parts[many - 1].end()
        verb = _BY_NAME.get(fold(words[:end]))
        if verb and (end == len(words) or words[end] in " :,\t"):
            return verb, end
    return None


def near_verb(word: str) -> tuple[str, ...]:
    """The verbs that a word may be a slip of; none for a common doing."""
    if fold(word) in _DOINGS:
        return ()
    if fold(word) in ("lost", "died", "dead", "up", "none"):
        return ("checked",)
    if fold(word) in _SHORT:
        return _SHORT[fold(word)]
    single = [n for n in VERB_NAMES if " " not in n and "'" not in n]
    found: dict[str, str] = {}
    for close in near(word, single, 4) or near(word, single, 4, slack=2 if len(word) > 5 else 1):
        name = _BY_NAME[close].name
        found.setdefault(name, name if name[:2] == close[:2] else close)
    return tuple(found.values())[:2]


def patterns(verb: Verb) -> tuple[tuple[Field, tuple[re.Pattern[str], ...]], ...]:
    """The verb's fields with their patterns, in the order they are tried."""
    if verb.name not in _COMPILED:
        _COMPILED[verb.name] = tuple((f, f.compiled()) for f in verb.fields)
    return _COMPILED[verb.name]


def keyed(fld: Field) -> tuple[re.Pattern[str], ...]:
    """The patterns that read a mapping's value for this field besides its own."""
    if not fld.keyed:
        return ()
    if fld not in _KEYED:
        _KEYED[fld] = fld.compiled(keyed=True)
    return _KEYED[fld]


def field_for(verb: Verb, key: str) -> Field | None:
    """The field that a mapping's key names."""
    return _KEYS[verb.name].get(fold(key))


def keys_of(verb: Verb) -> tuple[str, ...]:
    """All keys that a mapping of this verb may hold."""
    return tuple(_KEYS[verb.name])
