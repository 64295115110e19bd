"""One event in words: the clauses of a line, in one of the ways that are allowed."""

from __future__ import annotations

from random import Random

from .events import (
    Aside,
    Checked,
    Corrected,
    Event,
    Finished,
    Hardening,
    Harvested,
    Loss,
    Moved,
    Noted,
    Parted,
    Planted,
    Potted,
    Sown,
    Thinned,
    Treated,
)
from .more_phrases import MORE_VERBS, PLAIN, more_clauses, sown_where

VERBS = {
    "sown": ("sown", "sown", "sowed", "seeded"),
    "checked": ("checked",),
    "moved": ("moved",),
    "pricked out": ("pricked out",),
    "potted on": ("potted on", "bumped", "potted up"),
    "thinned": ("thinned",),
    "planted out": ("planted out", "planted out", "transplanted", "set out"),
    "sold": ("sold",),
    "gave": ("gave",),
    "harvested": ("harvested", "cut", "picked"),
    "finished": ("finished", "pulled", "composted"),
    "hardening off": ("hardening off",),
    "noted": ("noted",),
    "spare": ("spare",),
    **MORE_VERBS,
}
NOTES = (
    "patchy at the north end",
    "the tray’s light again",
    "“leave them be”, says Wren",
    "leggy",
    "nice roots",
)


def verb(e: Event) -> str:
    """The plain verb of an event."""
    if isinstance(e, Potted):
        return "pricked out" if e.pricked else "potted on"
    if isinstance(e, Parted):
        return e.how
    if isinstance(e, (Treated, Aside)):
        return e.verb
    if type(e) in PLAIN or (isinstance(e, Sown) and e.kind == "bought"):
        return PLAIN.get(type(e), "arrived") if not getattr(e, "have", False) else "have"
    return {
        Sown: "sown",
        Checked: "checked",
        Moved: "moved",
        Thinned: "thinned",
        Planted: "planted out",
        Harvested: "harvested",
        Finished: "finished",
        Hardening: "hardening off",
        Noted: "noted",
    }[type(e)]


def clauses(e: Event, sown: Sown | None, rng: Random) -> list[str]:
    """What is said of the subject, without who and when."""
    if type(e) in PLAIN or isinstance(e, (Treated, Aside)):
        if isinstance(e, Corrected):
            return _checked(e.check, sown, rng) if e.check else [f"{e.stems} stems"]
        return more_clauses(e, rng)
    if isinstance(e, Checked):
        return _checked(e, sown, rng)
    if isinstance(e, Harvested):
        return _harvested(e, rng)
    if isinstance(e, Sown):
        return _sown(e, rng)
    return _said(e)


def _said(e: Event) -> list[str]:
    if isinstance(e, Moved):
        part = "" if e.part is None else f"{e.part} "
        return [f"{part}to {e.place}"]
    if isinstance(e, Potted):
        source = f"from {e.source} " if e.source else ""
        return [f"{e.n} {source}into {e.into}", *_rest(e)]
    if isinstance(e, Thinned):
        if e.per is not None:
            return [f"to {e.per}/{e.unit}"]
        return [f"{e.out} out" if e.out else f"to {e.spacing_cm} cm"]
    if isinstance(e, Planted):
        return _planted(e)
    if isinstance(e, Parted):
        source = f"{e.n} from {e.source}" if e.source else str(e.n)
        return [f"{source} to {e.whom}" if e.whom else source]
    if isinstance(e, Finished):
        return [f"{e.where_only}, {e.reason}" if e.where_only else e.reason]
    if isinstance(e, Hardening):
        return [e.stage] if e.stage else []
    return [e.text]


def fields(e: Sown) -> list[tuple[str, str]]:
    """A sowing as key and value, for the long form."""
    pairs = [("variety", e.variety), ("in", e.container)]
    if e.lot:
        pairs.append(("lot", e.lot))
    if e.seeds_said is not None:
        pairs.append(("seeds", str(e.seeds_said)))
    if e.per_cell is not None:
        pairs.append(("per cell", e.per_cell_said))
    if e.cover_mm is not None:
        pairs.append(("cover", f"{e.cover_mm} mm"))
    if e.light:
        pairs.append(("light", e.light))
    if e.place:
        pairs.append(("place", e.place))
    return pairs


def _sown(e: Sown, rng: Random) -> list[str]:
    if e.kind == "bought":
        return _arrived(e)
    out = [f"like {e.like}"] if e.like else []
    if not e.like:
        out.append(f"{e.crop} {e.variety}")
    elif "variety" in e.changes:
        out.append(e.variety)
    facts = {
        "lot": e.lot and f"lot {e.lot}",
        "container": sown_where(e),
        "seeds_said": e.kind != "corm" and e.seeds_said and f"{e.seeds_said} seeds",
        "per_cell": e.per_cell and f"{e.per_cell_said} per cell",
        "cover_mm": e.cover_mm and f"cover {e.cover_mm} mm",
        "light": e.light,
        "place": e.place,
    }
    return out + [v for k, v in facts.items() if v and (not e.like or k in e.changes)]


def _arrived(e: Sown) -> list[str]:
    out = [f"{e.crop} {e.variety}", f"{e.seeds_said} {e.things}"]
    if e.dead:
        out.append(f"{e.dead} dead")
    return out + ([e.place] if e.place else [])


def _rest(e: Potted | Planted) -> list[str]:
    out = [f"{e.left} left"] if e.left is not None else []
    return out + ([f"{e.spare} spare"] if e.spare else [])


def _planted(e: Planted) -> list[str]:
    out = []
    for p in e.parts:
        source = f"from {e.source} " if e.source else ""
        words = f"{p.n} {source}to {p.bed}"
        if p.in_row_cm:
            words += (
                f" at {p.in_row_cm} x {p.between_cm} cm"
                if p.between_cm
                else f" at {p.in_row_cm} cm"
            )
        out.append(words)
        if p.rows:
            out.append(f"{p.rows} rows")
        if p.length_m:
            out.append(f"{p.length_m:g} m")
    return out + _rest(e)


def _harvested(e: Harvested, rng: Random) -> list[str]:
    out = []
    if e.stems is not None:
        alone = not e.rejected and not e.bunches
        out.append(str(e.stems) if alone and rng.random() < 0.3 else f"{e.stems} stems")
    if e.bunches is not None:
        word = rng.choice([f"{e.bunches} bunches", f"{e.bunches}b"])
        if e.size:
            word = rng.choice([f"{e.bunches} bunches of {e.size}", f"{e.bunches}x{e.size}"])
        out.append(word)
    if e.over:
        out.append(f"{e.over} over")
    if e.rejected:
        out.append(
            f"of which {e.rejected} rejected" if e.rejected_within else f"{e.rejected} rejected"
        )
    if e.grade:
        out.append(f"grade {e.grade}")
    if e.bed:
        out.append(f"from {e.bed}")
    return out


def _checked(e: Checked, sown: Sown, rng: Random) -> list[str]:
    out = []
    if e.first_seen:
        out.append("first seen")
    if e.count is not None:
        out.append(_count(e, sown, rng))
    if e.seedlings is not None:
        out.append(f"{e.seedlings} seedlings")
    if e.alive is not None:
        if e.bare_ok and rng.random() < 0.4:
            out.append(str(e.alive))
        else:
            out.append(f"{e.alive} alive in {e.where}" if e.where else f"{e.alive} alive")
    out += [f"{n} to {into}" for n, into in e.moves]
    losses = [_loss(x, rng) for x in e.losses]
    first = rng.random() < 0.25 and not e.moves and e.tray is None
    return losses + out if first else out + losses


def _count(e: Checked, sown: Sown, rng: Random) -> str:
    if e.about:
        return rng.choice([f"~{e.count} up", f"{e.count}ish up", f"{e.count}+ up", f"~{e.count}"])
    if e.tray is not None:
        return f"tray {e.tray}: {e.count} of {e.of}"
    if e.of is not None:
        return f"{e.count}/{e.of}" if e.of > 31 and rng.random() < 0.4 else f"{e.count} of {e.of}"
    if e.count == 0:
        return rng.choice(["none up", "0 up", "nothing up", "none"])
    if e.unit:
        return f"{e.count} {e.unit}"
    if e.where:
        return f"{e.count} up {'in' if 'frame' in e.where else 'on'} {e.where}"
    if e.bare_ok and rng.random() < 0.3:
        return str(e.count)
    return f"{e.count} {'sprouted' if sown.kind == 'paper' and rng.random() < 0.8 else 'up'}"


def _loss(x: Loss, rng: Random) -> str:
    words = f"{x.n} {x.unit} lost" if x.unit else f"{x.n} lost"
    where = f" in {x.where}" if x.where else ""
    cause = f" to {x.cause}" if x.cause else ""
    return words + (cause + where if rng.random() < 0.3 else where + cause)


def joined(parts: list[str], rng: Random) -> str:
    """Clauses with commas, or with ` and ` before one that begins with a number."""
    text = parts[0] if parts else ""
    for part in parts[1:]:
        text += (
            " and " if part[0].isdigit() and ":" not in part and rng.random() < 0.3 else ", "
        ) + part
    return text
