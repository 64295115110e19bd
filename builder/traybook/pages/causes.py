"""What a grower says took the plants: spellings of one cause added up, ends of a crop told apart."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable

from traybook.text.names import fold

_BEFORE = re.compile(r"^(?:to |by |from )?(?:(?:a|an|the|some) )?", re.IGNORECASE)
# Plurals of pests that no ending tells.
_ODD = {"mice": "mouse", "geese": "goose", "wolves": "wolf", "lice": "louse", "larvae": "larva"}
# How a crop ends when nothing went wrong with it.
_END = re.compile(
    r"(?:all |just |the )?(?:"
    r"(?:the )?(?:crop|flowering|cutting|cropping|season|year|spikes?|it)(?:'s| is| was| are)? (?:all )?"
    r"(?:over|done|finished|ended)"
    r"|(?:finished|done|ended|stopped|over|through)(?: (?:with|for|at))?"
    r"(?: (?:the )?(?:flowering|cutting|cropping|year|season|now|by now))?"
    r"|end of (?:the )?(?:crop|season|year|flowering|cutting)"
    r"|(?:going|gone|went|ran|run) (?:over|to seed)|seed(?:ing)?(?: set| itself)?|set seed"
    r"|(?:cut|cropped|sold) out|(?:pods )?all cut|(?:bed|room|space) (?:is |was )?wanted"
    r"|cleared(?: (?:for|before) (?:the )?winter)?|pulled(?: up| out)?"
    r")"
)

# What is neither a pest nor a disease: weather, want of water, a slip of the hand.
_NO_PEST = re.compile(
    r"frosts?|ice|snow|cold|heat|sun|scorch\w*|droughts?|dry|drying(?: out)?|dried(?: out)?|thirst|wind|storms?"
    r"|hail|rain|wet|floods?|flooding|hoe(?:ing)?|strimmer|mower|dropped|fell|falling|trodden|trampled|transplant\w*"
    r"|runts?|thrown(?: out| away)?|way|thinning|shock|handling|accident"
)


def is_pest(cause: str) -> bool:
    """Whether a cause may be a pest or a disease; false for weather, mishaps and the end of a crop.

    >>> is_pest("slugs"), is_pest("the hoe"), is_pest("late frost"), is_pest("grey mould")
    (True, False, False, True)
    """
    if not cause or is_end(cause):
        return False
    return not any(_NO_PEST.fullmatch(word) for word in (fold(_bare(cause)), *fold(cause).split()))


def plain(cause: str) -> str:
    """A cause without `to` and article.

    >>> plain("the gnats"), plain("slugs")
    ('gnats', 'slugs')
    """
    return _bare(cause)


def is_end(reason: str) -> bool:
    """Whether a reason says only that the crop was over.

    >>> is_end("Season over."), is_end("finished flowering"), is_end("mice")
    (True, True, False)
    """
    return _END.fullmatch(fold(reason).strip(" .!")) is not None


def without_ends(reason: str) -> str:
    """A reason without those of its parts that only say that the crop was over.

    >>> without_ends("seed set; mildew")
    'mildew'
    """
    return "; ".join(p for p in reason.split("; ") if not is_end(p))


def one_name(cause: str) -> str:
    """A cause by the name under which its spellings are added up: no article, one of each.

    >>> one_name("the slugs") == one_name("a slug") == one_name("Slugs"), one_name("to mice")
    (True, 'mouse')
    """
    return ", ".join(dict.fromkeys(_one(part) for part in cause.split(", ")))


def _one(cause: str) -> str:
    head, _, last = fold(_bare(cause)).rpartition(" ")
    return f"{head} {_single(last)}".strip()


def _bare(cause: str) -> str:
    return _BEFORE.sub("", cause.strip(" .!"))


def _single(word: str) -> str:
    """A word as one of its kind; words that only look like many stay as they are."""
    if word in _ODD:
        return _ODD[word]
    if len(word) < 4 or re.search(r"(?:ss|us|is)$", word) or not word.endswith("s"):
        return word
    if word.endswith("ies"):
        return word[:-3] + "y"
    return word[:-2] if re.search(r"(?:ch|sh|ss|x)es$", word) else word[:-1]


def added_up(losses: Iterable[tuple[int, str]]) -> list[tuple[int, str]]:
    """Losses by cause, the most first, each under one name: as it was written where it was written
    in one way, else as its commonest spelling for many of them."""
    sums: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for n, cause in losses:
        sums[one_name(cause)][cause] += n
    named = [(sum(by.values()), _called(name, by)) for name, by in sums.items()]
    return sorted(((n, name) for n, name in named if n), key=lambda x: (-x[0], x[1]))


def _called(name: str, by: dict[str, int]) -> str:
    if len(by) == 1:
        return next(iter(by)).removeprefix("to ")
    many = {cause: n for cause, n in by.items() if fold(_bare(cause)) != name} or by
    return _bare(max(many, key=lambda cause: (many[cause], cause)))
