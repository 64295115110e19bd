"""What an event asks of the ledger: losses, counts, takings, moves, an end."""

from __future__ import annotations

from dataclasses import dataclass, replace

from traybook.records.event import Event, Said
from traybook.text.scalars import Amount
from traybook.text.source import Span

#: Verbs whose plants leave the stand they are in, and what they then are.
TAKINGS = {
    "pricked out": "pricked out",
    "potted on": "potted on",
    "planted out": "planted",
    "thinned": "thinned",
    "sold": "sold",
    "gave": "given",
    "spare": "spare",
}
#: Verbs of treatments: what had sprouted or gone bad in the tray by the end of one.
TREATED = ("chilled", "soaked", "nicked", "warmed", "frozen")
#: Takings whose plants are good plants.
GOOD = ("planted", "sold", "given", "spare")
INTO_POTS = ("pricked out", "potted on", "moved on")


@dataclass(frozen=True, slots=True)
class Loss:
    """Something was lost; `seeds` when it said so."""

    event: Event
    n: Amount
    unit: str = ""
    where: str = ""
    cause: str = ""
    at: Span | None = None

    @property
    def seeds(self) -> bool:
        """Seeds, by their own word or by going mouldy."""
        return self.unit in ("seed", "seeds", "bad")

    @property
    def plants(self) -> bool:
        """Plants, by their own word."""
        return bool(self.unit) and not self.seeds


@dataclass(frozen=True, slots=True)
class Count:
    """A count of what stands: `up`, `left` or `alive`; `bare` when it was only a number; `total`
    when it is of all that ever came up, on a day that nobody kept."""

    event: Event
    kind: str
    n: Amount
    of: Amount | None = None
    unit: str = ""
    where: str = ""
    bare: bool = False
    total: bool = False
    at: Span | None = None


@dataclass(frozen=True, slots=True)
class Sample:
    """A part looked at: a tray, a length of row, so many a foot."""

    event: Event
    said: Said


@dataclass(frozen=True, slots=True)
class Take:
    """Plants leave a stand. `n` is None when no number was said."""

    event: Event
    kind: str
    n: Amount | None
    source: str = ""
    into: str = ""
    spec: Said | None = None
    at: Span | None = None


@dataclass(frozen=True, slots=True)
class Move:
    """To another place, all or a part."""

    event: Event
    n: Amount | None
    what: str
    to: str


@dataclass(frozen=True, slots=True)
class FirstSeen:
    """Some were seen, uncounted."""

    event: Event


@dataclass(frozen=True, slots=True)
class Finish:
    """The end of a stand (`where`) or of all of it."""

    event: Event
    where: str


@dataclass(frozen=True, slots=True)
class Resow:
    """Empty cells were sown again: what comes up from now on can't be told apart."""

    event: Event


Op = Loss | Count | Sample | Take | Move | FirstSeen | Finish | Resow


def words_of(op: Loss | Count | Sample | Take) -> Span:
    """The words that said it; the line's subject where no clause did."""
    at = op.said.at if isinstance(op, Sample) else op.at
    return at or op.event.subject_at


def ops_of(event: Event) -> list[Op]:
    """An event's clauses as operations, in the order written."""
    if event.verb == "checked":
        return _one_place([op for s in event.said for op in _checked(event, s)])
    if event.verb == "resown":
        return [Resow(event)]
    if event.verb == "arrived":
        return [
            Loss(event, s.n, "plants", "", s.cause or "on the way")
            for s in event.all("lost")
            if s.n
        ]
    if event.verb in TREATED:
        return _treated(event)
    if event.verb == "moved":
        return [Move(event, s.n, s.where, s.into) for s in event.all("moved")]
    if event.verb == "finished":
        lost: list[Op] = [
            Loss(event, s.n, s.unit or "seeds", "", "thrown", s.at)
            for s in event.all("lost")
            if s.n
        ]
        where = event.one("where")
        return [*lost, Finish(event, where.where if where else "")]
    if event.verb == "planted out":
        return _planted(event)
    if event.verb in TAKINGS:
        return _taken(event)
    return []


def _one_place(ops: list[Op]) -> list[Op]:
    """A loss that names no place was where its line's count was: `114 alive in bed 1, 6 lost`."""
    places = {o.where for o in ops if isinstance(o, Count) and o.where}
    if len(places) != 1:
        return ops
    where = places.pop()
    return [
        replace(o, where=where) if isinstance(o, Loss) and not o.where and not o.seeds else o
        for o in ops
    ]


def _checked(event: Event, s: Said) -> list[Op]:
    if s.field == "lost" and s.n:
        return [Loss(event, s.n, s.unit, s.where, s.cause, s.at)]
    if s.field in ("up", "left", "alive") and s.n:
        total = s.field == "up" and event.one("undated") is not None
        return [Count(event, s.field, s.n, s.of, s.unit, s.where, s.text == "bare", total, s.at)]
    if s.field in ("density", "in_length", "row_alive", "sample"):
        return [Sample(event, s)]
    if s.field == "first_seen":
        return [FirstSeen(event)]
    if s.field == "taken":
        return [Take(event, "moved on", s.n, "", s.into, at=s.at)]
    return []


def _treated(event: Event) -> list[Op]:
    out: list[Op] = [Loss(event, s.n, "bad", "", "mould") for s in event.all("bad") if s.n]
    return out + [Count(event, "up", s.n, None, s.unit) for s in event.all("sprouted") if s.n]


def _extras(event: Event, source: str) -> list[Op]:
    """What may stand beside any taking: left, spare, runts."""
    out: list[Op] = [
        Loss(event, s.n, "plants", source, "runts", s.at) for s in event.all("runts") if s.n
    ]
    out += [Take(event, "spare", s.n, source, at=s.at) for s in event.all("spare") if s.n]
    out += [
        Count(event, "left", s.n, None, s.unit, source, at=s.at) for s in event.all("left") if s.n
    ]
    return out


def _source(event: Event) -> str:
    said = event.one("source")
    return said.where if said else next((s.where for s in event.said if s.where), "")


def _taken(event: Event) -> list[Op]:
    kind, source = TAKINGS[event.verb], _source(event)
    extras = _extras(event, source)
    if event.verb == "thinned":
        per = event.one("to_per_cell")
        out: list[Op] = [Take(event, kind, s.n, source, at=s.at) for s in event.all("out") if s.n]
        out += [Sample(event, s) for s in event.all("to_density", "spacing")]
        return (
            out
            + (
                [Take(event, kind, None, source, "", per, per.at)]
                if per and not event.all("out")
                else []
            )
            + extras
        )
    main = [s for s in event.said if s.field in ("into", "out")]
    takes: list[Op] = []
    for s in main:
        last = takes[-1] if takes else None
        if isinstance(last, Take) and last.into and last.n is None and s.n and not s.into:
            takes[-1] = replace(last, n=s.n, at=s.at)
        else:
            takes.append(Take(event, kind, s.n, s.where or source, s.into, at=s.at))
    if not takes and not event.unread and not event.all("spare", "left"):
        takes = [Take(event, kind, None, source)]
    return takes + extras


def _planted(event: Event) -> list[Op]:
    """Each `N to BED` is a planting; rows, spacing and length belong to the one before them."""
    source = _source(event)
    out: list[Take] = []
    early: list[Said] = []
    for s in event.said:
        if s.field == "planted":
            if out and not out[-1].into and out[-1].n and s.n is None:
                out[-1] = replace(out[-1], into=s.into, spec=_join(out[-1].spec, s))
            elif out and out[-1].into and out[-1].n is None and s.n and not s.into:
                out[-1] = replace(out[-1], n=s.n, at=s.at)
            else:
                out.append(Take(event, "planted", s.n, s.where or source, s.into, s, s.at))
        elif s.field in ("rows", "spacing", "length") and out:
            out[-1] = replace(out[-1], spec=_join(out[-1].spec, s))
        elif s.field in ("rows", "spacing", "length"):
            early.append(s)
    if not out and event.unread:
        return _extras(event, source)
    if not out:
        out = [Take(event, "planted", None, source)]
    for s in early:
        out[0] = replace(out[0], spec=_join(out[0].spec, s))
    return [*out, *_extras(event, source)]


def _join(one: Said | None, more: Said) -> Said:
    """Facts of a planting from several clauses; the first that says a thing is kept."""
    if one is None:
        return more
    return replace(
        one,
        rows=one.rows if one.rows is not None else more.rows,
        spacing_mm=one.spacing_mm if one.spacing_mm is not None else more.spacing_mm,
        between_mm=one.between_mm if one.between_mm is not None else more.between_mm,
        length_mm=one.length_mm if one.length_mm is not None else more.length_mm,
        into=one.into or more.into,
    )
