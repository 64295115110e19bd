"""The fields of the verbs that follow a sowing: from seed in the tray to stems in the bunch."""

from __future__ import annotations

from traybook.records.field import Field
from traybook.text.scalars import LENGTH, NUMBER

TAKE = (
    Field("left", ("<n><u>\\s+(?:left|remain(?:ing)?|stay(?:ed|ing)?|still there)",), "18 left",
          "what stays where it came from", form="{} left"),
    Field("spare", ("<n><u>\\s+(?:spares?|extra|surplus)",), "6 spare",
          "plants put by, besides the others", form="{} spare"),
    Field("runts", ("<n><u>\\s+(?:runts?|rejects?|weak ones?|duds?|binned|thrown(?: out| away)?|composted|lost|dead)",
                    "(?:binned|composted|threw (?:out|away))\\s+<n>"), "3 runts",
          "plants thrown out as too poor", form="{} runts"),
    Field("source", ("from (?:the\\s+)?(?P<where>.+)",), "from 50s",
          "which stand they come from", keys=("from",), form="from {}"),
)  # fmt: skip

INTO = Field(
    "into",
    (
        "(?:<n>(?:\\s*\\(\\d+\\))?<u>\\s+)?from\\s+(?:the\\s+)?(?P<where>[^,]+?)\\s+(?:in ?to|to)\\s+(?P<into>.+)",
        "(?:<n>(?:\\s*\\(\\d+\\))?<u>\\s+)?(?:in ?to|to|in|moved to|potted (?:up )?into)\\s+(?P<into>.+)",
        "<n><u>\\s+from\\s+(?:the\\s+)?(?P<where>.+)",
        "<n>(?P<bare>)<u>(?:\\s+(?:pricked out|potted on|potted up|moved|done))?",
    ),
    "48 into 72s",
    "how many, and into what",
    keys=("to", "plants", "n"),
)
NUMBER_OF = Field(
    "out",
    (
        "<n><u>\\s+to\\s+(?P<whom>.+)",
        "<n><u>\\s+from\\s+(?:the\\s+)?(?P<where>.+)",
        "<n>(?P<alone>)(?:<u>|\\s+pots?)",
    ),
    "24",
    "how many plants; who to is private",
    keys=("plants", "n"),
)

SOWN = (
    Field("like", ("(?:just\\s+)?(?:like|same as)\\s+(?P<text>.+)",), "like stock-26-1",
          "as another sowing was sown, but for what this line says", form="like {}"),
    Field("per_cell", (
        "(?P<low>\\d+|one|two|three|four)(?:\\s*(?:-|to|or)\\s*(?P<high>\\d+))?\\s*(?:seeds?\\s*)?(?:per|a|an|/|to a|to each|in each|each)"
        "\\s*(?:cell|pot|block|module|plug|hole|station)?",
    ), "2 per cell", "seeds in each cell, or a range 2-3", keys=("per cell", "seeds per cell"),
        form="{} per cell"),
    Field("rows", ("(?P<rows>\\d+)\\s+rows?(?:\\s*(?:x|of|at|,)?\\s*<length>(?:\\s+long)?)?",),
          "3 rows x 40 ft", "rows of a direct sowing and their length",
          keyed=("(?P<rows>\\d+)(?:\\s*(?:x|of)\\s*<length>)?",)),
    Field("rows", ("<length>(?:\\s+(?:of row|long|of drill|run))",
                   "(?P<length>\\d+(?:\\.\\d+)?\\s*(?:ft|feet|foot|m|metres?|meters?|yd|yards?))"),
          "40 ft", "length of the rows"),
    Field("cells", ("(?P<cells>\\d+)\\s+cells?", ), "60 cells", "cells sown", form="{} cells"),
    Field("seeds", ("<n>\\s*(?:seeds?|sds)(?:\\s+(?:in all|in total|altogether))?",), "72 seeds",
          "seeds sown in all", form="{} seeds"),
    Field("grams", ("<n>\\s*(?:g|grams?|gm)",), "2 g", "seed by weight", form="{} g"),
    Field("cover", (
        "(?:cover(?:ed)?(?:\\s+(?:with|by|to))?\\s+)<depth>(?:\\s+(?:deep|of\\s+(?P<text>.+)))?",
        "<depth>\\s+(?:deep|cover|down|of cover)",
        "(?P<depth>\\d+(?:\\.\\d+)?\\s*mm)",
        "(?P<text>surface(?:[- ]sown)?|(?:left )?on (?:the )?surface|not covered|(?:left )?uncovered|no cover|(?:left )?bare)",
        "(?P<text>(?:just |lightly |barely |thinly |well )?covered(?:\\s+.+)?)",
        "depth\\s+<depth>",
        "cover\\s+(?P<text>[^\\d]+)",
    ), "cover 5 mm", "how deep it was covered, or surface", keys=("depth", "covered"), form="cover {}"),
    Field("medium", ("(?:in\\s+)?(?P<text>(?:(?!cover|dust|with\\b|of\\b|light|top)[\\w-]+\\s+){0,3}(?:mix|compost|coir|vermiculite|perlite|sand|loam))",
                     "medium\\s+(?P<text>.+)"),
          "in coir", "what it was sown into", keys=("mix",), form="medium {}"),
    Field("light", (
        "(?:(?:kept |left |in (?:the )?)?(?P<text>dark|light|bright|shade)(?:\\s+until up)?)",
        "(?P<text>under (?:the )?lights?)",
        "light\\s+(?P<text>.+)",
    ), "dark", "dark or light while it sprouts"),
    Field("heat", ("(?:on |with )?(?:the )?(?P<text>heat(?:ed)?(?: mat)?|bottom heat|no heat|unheated)",),
          "heat mat", "warmth from below"),
    Field("temperature", (
        "(?:at |about |~)?(?P<text>-?\\d{1,2}(?:\\.\\d)?\\s*(?:-\\s*\\d{1,2}\\s*)?(?:°\\s*)?(?:C|F|degrees)\\b.*)",
    ), "18 C", "temperature of the place", keys=("temp",)),
    Field("lot", ("(?:seed )?lot\\s+(?P<text>\\S+)", "(?P<text>[A-Za-z]{2,}[-/]\\d[\\w/-]*)"),
          "LAR-25", "the seed lot", form="lot {}"),
    Field("season", ("(?:season|for season)\\s*:?\\s*(?P<text>\\d{4})",), "season 2027",
          "the year it is meant to be cut", form="season {}"),
    Field("was", ("was:?\\s+(?P<text>\\S+)",), "was stock-26-9", "an earlier code on printed tags",
          form="was {}"),
    Field("purpose", ("for\\s+(?P<text>.+)",), "for the June market", "what it is meant for",
          keys=("for",), form="for {}"),
    Field("crop", ("crop\\s+(?P<text>.+)",), "crop larkspur", "the kind", form="crop {}"),
    Field("variety", ("variety\\s+(?P<text>.+)",), "Mist Tower", "the variety", form="variety {}"),
    Field("container", ("container\\s+(?P<into>.+)",), "2 x 72-cell tray",
          "what it was sown in, or the bed", keys=("in", "tray", "bed"), form="container {}"),
    Field("place", ("place\\s+(?P<where>.+)",), "on shelf B", "where it stands to sprout",
          keys=("on", "at"), form="place {}"),
)  # fmt: skip

_NONE = "(?:none|nothing|no signs?|nil|not a one|no seedlings|(?:no|0|zero) germination|no sprouts|no(?= up))"
CHECKED = (
    Field("density", (
        "<n><u>\\s*(?:per|a|/)\\s*(?P<per>ft|foot|m|metre|meter|yd|yard)(?:\\s+(?:up|stand(?:ing)?))?"
        "(?:\\s+in\\s+(?P<places>\\d+)\\s+(?:places|spots))?",
    ), "11 per ft in 3 places", "a direct sowing's stand, counted here and there"),
    Field("row_alive", (
        "<n>(?:\\s*(?:ft|feet|foot|m|metres?|meters?|yd|yards?))?\\s*(?:of|out of|/)\\s*(?:the\\s+)?"
        "(?P<length>(?P<of>\\d+(?:\\.\\d+)?)\\s*(?:ft|feet|foot|m|metres?|meters?|yd|yards?)\\b)(?:\\s+of row)?"
        "(?:\\s+(?:is |are |still )*(?:alive|left|standing|living|survived|filled|came through))?",
    ), "70 of 120 ft alive", "how much of the row still stands", keys=("row alive",)),
    Field("in_length", (
        "<n><u>\\s+in\\s+(?P<length>\\d+(?:\\.\\d+)?\\s*(?:ft|foot|feet|m|metres?|meters?|yd|yards?)\\b)"
        "(?:\\s+of row)?",
    ), "27 in 3 ft", "plants in a length of row: a sample"),
    Field("sample", (
        "(?P<where>(?:tray|flat|pot|row|box|half|side)\\s+\\w+)\\s*[: ]\\s*<n>(?:\\s*(?:of|out of|/)\\s*<of>)?"
        "<u>(?:\\s+<up>)?",
    ), "tray 1: 101 of 128", "part of a sowing: a sample"),
    Field("undated", (
        "(?:(?:in all|in total),?\\s+)?(?:no day (?:was )?(?:kept|known|noted)|day (?:not|un)\\s*(?:kept|known|noted))",
    ), "no day kept", "a total whose days nobody kept: counted, but in no figure of speed"),
    Field("first_seen", ("(?:the )?first (?:ones? |few )?(?:seen|up|showing|sprouts?|signs?|seedlings?|(?:poking|coming|pushing|popping) (?:up|through))(?: up)?",),
          "first seen", "bounds when it came up; no count"),
    Field("none", (
        _NONE + "(?:\\s+(?:up|yet|showing|sprouted|germinated|doing|at all|there|of life))+",
        _NONE + "(?P<whole>)",
    ), "none up", "a count of nought"),
    Field("of", (
        "<n><uof>\\s*(?:of|out of|/)\\s*(?:the\\s+)?<of><u>(?:\\s+(?P<word>alive|left|living|survived?))"
        "<where>",
        "<n><uof>\\s*(?:of|out of|/)\\s*(?:the\\s+)?<of><u>(?:\\s+<up>)?<where>",
    ), "44 of 72", "up out of what was sown; out of less it is a sample"),
    Field("alive", (
        "<n><u>\\s+(?:still\\s+)?(?:alive|living|survived?|made it|doing well)<where>",
        "alive\\s+<n>",
    ), "155 alive", "plants alive after they left where they were sown", form="{} alive"),
    Field("left", ("<n><u>\\s+(?:left|remaining)(?!\\s+in the (?:packet|tin|jar|bag|box|envelope))<where>",),
          "18 left", "what stands after some were taken", form="{} left"),
    Field("lost", (
        "no(?P<none>)<uof>\\s+<lost>",
        "<n><u>\\s+<bad>(?P<seeds>)(?:\\s+(?:to|from|by|with)\\s+(?P<cause>.+))?",
        "<n><u>\\s+<lost><where>(?:\\s+(?:to|from|by|with|because of)\\s+(?P<cause>.+))?",
        "(?:lost|losing|lose)\\s+<n><u><where>(?:\\s+(?:to|from|by|with)\\s+(?P<cause>.+))?",
        "(?P<cause>mice|mouse|voles?|slugs?|snails?|birds?|damping off|frost|rabbits?|the cat|heat)"
        "\\s+(?:took|ate|got|had|killed)\\s+<n><u><where>",
    ), "2 lost to mice", "what was lost, where, and to what", keys=("dead", "died"),
          keyed=("<n><u><where>(?:\\s+(?:to|from|by|with)\\s+(?P<cause>.+))?",)),
    Field("taken", (
        "(?:moved |potted |took )?<n><u>\\s+(?:moved\\s+)?(?:to|into)\\s+(?P<into>.+)",
    ), "8 to 72-cell tray", "taken at this check"),
    Field("up", (
        "(?:all\\s+(?=\\d))?<n><u>\\s+(?:are\\s+|is\\s+|now\\s+|have\\s+|had\\s+)?<up>(?:\\s+(?:now|so far|in total|in all|altogether|today))?<where>",
        "<up>:?\\s+<n><u>",
        "<n>\\s+(?P<unit>cells|seedlings|sprouts|plants|clumps)<where>",
        "<n>(?P<bare>)(?:\\s+(?:now|so far|in total|in all|altogether|today))?<where>",
    ), "31 up", "what is up there now", keys=("sprouted", "count"), form="{} up"),
)  # fmt: skip

CELLS_KEY = Field(
    "up", (), "27 cells", "cells with at least one up", keys=("cells",), form="{} cells"
)
SEEDLINGS_KEY = Field(
    "up", (), "44 seedlings", "seedlings up", keys=("seedlings",), form="{} seedlings"
)

MOVED = (
    Field("moved", (
        "(?:(?:(?P<n2>\\d+)\\s+)?(?P<n>" + NUMBER + ")(?:\\s*\\(\\d+\\))?(?:\\s+of (?:them|it))?<u>\\s+)?"
        "(?:moved\\s+)?(?:back\\s+)?(?:on ?to|in ?to|out to|under|to)\\s+(?P<into>.+)",
        "(?:the\\s+)?(?P<where>tray \\w+|\\d+s|.+? trays?|.+? pots?|.+? plants)\\s+(?:on ?to|in ?to|to)\\s+(?P<into>.+)",
        "(?:moved\\s+)?(?:from|off|out of)\\s+.+?\\s+(?:on ?to|in ?to|out to|to)\\s+(?P<into>.+)",
        "(?:back\\s+)?(?P<into>(?!\\d|half\\b|all\\b|rest\\b|some\\b|out of\\b|off\\b|away\\b|from\\b).+)",
    ), "half to frame", "how many, and to which place", keys=("to", "place")),
)  # fmt: skip

PLANTED = (
    Field("rows", ("(?:in\\s+)?(?P<rows>\\d+|one|two|three|four|five|six)\\s+rows?(?:\\s+(?:at|of|x)\\s+<s>)?",), "4 rows",
          "rows of the planting", form="{} rows"),
    Field("spacing", ("(?:at\\s|@|spaced\\s|spacing\\s)\\s*<s>(?:\\s+(?:spacing|centres|centers))?",
                      "<s>\\s+(?:spacing|apart|centres|centers)",
                      "<s>\\s+in (?:the )?rows?",
                      "(?P<spacing>" + LENGTH + ")\\s*x\\s*(?P<between>" + LENGTH + ")"),
          "at 9 in x 9 in", "in the row, and between rows", form="at {}"),
    Field("length", ("(?P<length>\\d+(?:\\.\\d+)?\\s*(?:ft|feet|foot|m|metres?|meters?|yd|yards?|'))"
                     "(?:\\s+(?:of\\s+)?(?:bed|row|run|long|in all))?",),
          "30 ft", "length of bed planted"),
    *TAKE[:3],
    Field("planted", (
        "<n><u>\\s+from\\s+(?:the\\s+)?(?P<where>[^,]+?)\\s+(?:in ?to|to)\\s+(?P<into>.+?)(?:\\s+at\\s+<s>)?(?:,?\\s+(?P<rows>\\d+)\\s+rows?)?",
        "(?:<n><u>\\s+)?(?:out\\s+)?(?:in ?to|to|in)\\s+(?P<into>.+?)(?:\\s+at\\s+<s>)?(?:,?\\s+(?P<rows>\\d+)\\s+rows?)?",
        "<n>(?P<bare>)<u>(?:\\s+(?:planted(?: out)?|out|set out|in))?",
        "(?P<into>(?:the\\s+)?(?:bed|block|plot|strip|tunnel|field)\\b.*)",
    ), "90 to bed 4 at 9 in x 9 in", "how many, to which bed", keys=("to", "bed", "plants", "n")),
    TAKE[3],
)  # fmt: skip

HARVESTED = (
    Field("rejected_of", ("of which\\s+<n>(?:\\s+(?:stems?|were))*\\s+(?:rejected|rejects?|culls?|culled|seconds)",),
          "of which 4 rejected", "stems of those told that were not good enough"),
    Field("rejected", ("<n>(?:\\s+stems?)?\\s+(?:rejected|rejects?|rej\\b\\.?|culls?|culled|seconds|binned)",),
          "12 rejected", "stems besides those told", form="{} rejected"),
    Field("bunches", (
        "<n>\\s*(?:bunch(?:es)?|bch|b)\\b(?:\\s*(?:of|@|x)\\s*(?P<size>\\d+))?",
        "<n>\\s*x\\s*(?P<size>\\d+)(?:s|\\s+stems?)?",
    ), "6 bunches of 10", "bunches, and how many in one", form="{} bunches"),
    Field("over", ("<n>(?:\\s+(?:stems?|loose))?\\s+(?:over|loose|odd|extra(?:\\s+stems?)?)",), "4 over",
          "stems besides full bunches", form="{} over"),
    Field("grams", ("<n>\\s*(?:g|grams?)",), "250 g", "weight cut", form="{} g"),
    Field("grams", ("<n>\\s*(?:kg)(?P<kilo>)",), "1.5 kg", "weight cut"),
    Field("grade", ("gr(?:ade|\\.)?\\s+(?P<text>[^\\d]+)", "(?P<text>firsts|first grade|second grade)"), "grade A",
          "grade of the stems", form="grade {}"),
    Field("bed", ("(?:from|in)\\s+(?P<where>[^\\d].*)",),
          "from bed 3", "the bed they were cut from", keys=("from",), form="from bed {}"),
    Field("stems", ("<n>\\s*(?:stems?|stalks?|heads?|blooms?|flowers?)(?:\\s+(?:cut|in all|each))?",
                    "<n>\\s+st",
                    "<n>(?P<bare>)(?:\\s+(?:cut|picked))?"), "120 stems", "stems cut", form="{} stems"),
)  # fmt: skip

THINNED = (
    Field("to_per_cell", ("(?:(?:down )?to\\s+)?<n>(?:\\s+(?:seedlings?|plants?))?\\s*(?:per|a|/|in each|each)\\s*"
                          "(?:cell|pot|block|module|plug|clump)?",),
          "to 1 per cell", "seedlings left in each cell", keys=("to per cell",), form="to {} per cell"),
    Field("to_density", ("(?:down )?to\\s+<n>\\s*(?:per|a|/)\\s*(?P<per>ft|foot|m|metre|meter|yd|yard)",),
          "to 3/ft", "plants left a length of row"),
    Field("spacing", ("(?:down )?to\\s+<s>", "<s>\\s+apart",
                      "(?P<whole>)(?=.*[^\\d\\s.])<s>"), "to 6 in", "spacing left", form="to {}"),
    Field("left", ("<n><u>\\s+(?:left|remaining)",), "36 left", "what stands after", form="{} left"),
    Field("out", ("<n><u>\\s+(?:out|thinned(?: out)?|pulled|taken out|removed|snipped)", "<n>(?P<alone>)<u>"),
          "26 out", "seedlings taken out", form="{} out"),
)  # fmt: skip

FINISHED = (
    Field("lost", ("<n>\\s+(?P<unit>seeds?)\\s+(?:thrown|binned|chucked|composted|left|rotten|rotted|mouldy|"
                   "moldy|dead)(?P<seeds>)(?:\\s+(?:away|out|behind))?",),
          "15 seeds thrown", "seeds given up with it"),
    Field("where", ("(?:the\\s+)?(?P<where>(?:damp |wet |kitchen )?paper|(?:seed |open |mother )?(?:tray|flat)|"
                    "where sown|(?:the )?sowing tray|bed \\d+\\w?|(?:the )?pots|(?:the )?\\d+s)"
                    "(?:\\s+(?:only|cleared|emptied|done))?(?P<whole>)",),
          "paper", "only this stand is finished", keys=("where", "only")),
)  # fmt: skip

SPARED = (TAKE[3], NUMBER_OF)
