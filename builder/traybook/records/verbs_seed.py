"""The fields of the verbs about seed lots, treatments, corrections and the farm itself."""

from __future__ import annotations

from traybook.records.field import UNIT, Field
from traybook.records.verbs_sowing import CHECKED, HARVESTED, SOWN

_SOWN = {f.name: f for f in SOWN}
_HARVESTED = {f.name: f for f in HARVESTED}
SUPPLIER = Field("supplier", ("(?:from|supplier|bought (?:from|at))\\s+(?P<text>.+)",), "from Hill Seeds",
                 "who it came from", keys=("from",), form="supplier {}")  # fmt: skip

VARIETY = Field(
    "variety", ("variety\\s+(?P<text>.+)",), "variety Mist Tower", "the variety", form="variety {}"
)
LOT = (
    Field("lot", ("(?:seed )?lot\\s+(?P<text>\\S+)",), "lot LAR-25", "its lot, where the subject is the crop",
          form="lot {}"),
    _SOWN["seeds"],
    _SOWN["grams"],
    Field("packets", ("<n>\\s*(?:packets?|pkts?|pks?|packs?|sachets?)(?:\\s+of\\s+(?P<of>\\d+)(?:\\s*(?:seeds?|s))?)?",),
          "2 packets", "packets", form="{} packets"),
    Field("packed", ("(?:packed|pkd|packed for|pack(?:ed)? date|year|season|sow by|use by)\\s*:?\\s*(?:for\\s+)?(?P<text>\\d{4})",
                     "(?P<text>\\d{4})\\s+(?:seed|crop|harvest|packet|stock)", "for\\s+(?P<text>\\d{4})"),
          "packed 2026", "the year it was packed for", keys=("year", "packed for"), form="packed {}"),
    Field("tested", ("(?:tested|germ(?:ination)?|germ\\.?)\\s*:?\\s*(?:at\\s+)?<n>",
                     "<n>\\s+(?:germination|germ\\.?|tested)"),
          "tested 82 %", "germination as printed on the packet", keys=("germination",), form="tested {}"),
    Field("coating", ("(?P<text>pelleted|pellets?|primed|dressed|treated|coated|untreated|raw|organic)(?:\\s+(?:seeds?|with\\s+.+))?",),
          "pelleted", "pelleted, primed, or dressed with a pesticide"),
    Field("sold_out", ("(?P<text>sold out|out of stock|none left|back ?ordered|on back ?order|not available|unavailable)",),
          "sold out", "could not be had", keys=("sold out",)),
    SUPPLIER,
    Field("crop", ("crop\\s+(?P<text>.+)",), "crop larkspur", "the kind", form="crop {}"),
    VARIETY,
)  # fmt: skip

ARRIVED = (
    Field("lost", ("<n><u>\\s+(?:arrived\\s+|were\\s+|was\\s+)?(?:dead|lost|died|rotten|damaged|broken|dud|duds)(?:\\s+on arrival)?(?:\\s+(?:to|from)\\s+(?P<cause>.+))?",
                   "(?:lost|dead)\\s+<n>"),
          "6 dead", "plants that were lost on the way", keys=("dead",), form="{} dead"),
    Field("plants", ("<n>\\s*(?:small\\s+|young\\s+)?(?P<unit>plugs?|plants?|seedlings?|liners?|bare roots?|corms?|tubers?|bulbs?|crowns?|roots?|cuttings?)(?:\\s+(?:in all|total|in total))?",
                     "<n>(?P<bare>)"),
          "420 plugs", "how many came", keys=("plugs", "n", "corms", "tubers")),
    SUPPLIER,
    _SOWN["container"],
    _SOWN["place"],
    _SOWN["season"],
    _SOWN["was"],
    _SOWN["crop"],
    VARIETY,
)  # fmt: skip

TESTED = (
    Field("of", ("<n><uof>\\s*(?:of|out of|/)\\s*(?:the\\s+)?<of><u>(?:\\s+<up>)?",), "14 of 20", "sprouted, out of those put down"),
    Field("bad", ("<n><u>\\s+<bad>", "<n><u>\\s+(?:dead|duds?|failed)"), "3 mouldy", "seeds gone bad", keys=("mouldy",), form="{} mouldy"),
    Field("seeds", ("<n>\\s*(?:seeds?|sds)(?:\\s+put down)?",), "20 seeds", "seeds put to the test", form="{} seeds"),
    Field("up", ("<n><u>\\s+<up>", "(?P<none>none|nothing|nil)(?:\\s+(?:up|yet|sprouted))*", "<n>(?P<bare>)"), "14 sprouted", "sprouted so far", keys=("sprouted",), form="{} up"),
    Field("medium", ("(?P<text>(?:on|in)\\s+(?:damp\\s+|wet\\s+|kitchen\\s+)?(?:paper|mix|compost|sand|vermiculite|a bag)(?:\\s+towels?)?)",), "on paper", "what the seeds lie on"),
    Field("place", ("(?:on|at|in)\\s+(?P<where>[^\\d].*)", "place\\s+(?P<where>.+)"), "on shelf B", "where", keys=("on", "at"), form="place {}"),
    Field("done", ("(?:&\\s*|and\\s+|we(?:'re|\\s+are)\\s+|now\\s+)*(?P<text>done|finished|ended|end|over|final|last look)",), "done", "the test is over"),
)  # fmt: skip

TREATED = (
    Field("out", ("(?:(?:came|taken|brought|got|back|now)\\s+)?(?P<text>out)(?:\\s+(?:of|from)\\s+(?:the\\s+)?(?P<where>\\w+(?:\\s\\w+)?))?(?P<whole>)",
                  "(?P<text>done|finished|ended|drained)(?P<whole>)"),
          "out", "it has ended"),
    Field("sprouted", ("<n><u>\\s+(?:had\\s+|have\\s+)?<up>", "(?P<none>none|nothing)\\s+(?:up|sprouted|yet)+"), "3 sprouted", "what had sprouted by then", form="{} sprouted"),
    Field("bad", ("<n><u>\\s+<bad>",), "2 mouldy", "seeds gone bad", keys=("mouldy",), form="{} mouldy"),
    _SOWN["seeds"],
    _SOWN["grams"],
    Field("length", ("(?:for\\s+)?<time>", "(?P<unit>overnight|over night)", "until\\s+<day>", "(?:for\\s+)?(?P<text>a (?:week|day|month|fortnight))"),
          "4 weeks", "how long it is meant to last", keys=("for", "length", "until"), form="{}"),
    Field("moisture", ("(?:kept\\s+)?(?P<text>moist|damp|wet|dry|in (?:damp|moist|wet) (?:sand|paper|mix|vermiculite|peat|coir|compost))(?:\\s+sealed)?",),
          "moist", "moist or dry"),
    Field("place", ("(?:in|on|at|to|into)\\s+(?:the\\s+)?(?P<where>[^\\d].*)", "(?P<where>(?:[\\w']+\\s+)?(?:fridge|freezer|cellar|garage|shed|frame))", "place\\s+(?P<where>.+)"),
          "in the fridge", "where", keys=("in", "on", "at"), form="place {}"),
)  # fmt: skip
#: A treatment said on the `sown` line itself.
BEFORE_SOWING = Field(
    "treated",
    (
        "(?P<text>chilled|stratified|cold|soaked|nicked|scarified|frozen|warmed)(?:\\s+seeds?)?(?:\\s+(?:for\\s+)?<time>)?",
        "(?P<text>soaked|chilled|frozen)\\s+(?P<unit>overnight)",
        "<time>\\s+(?P<text>cold|chill|chilling|stratification|soak|soaking|warm|frozen)",
        "(?P<unit>overnight)\\s+(?P<text>soak)",
    ),
    "soaked 12 hours",
    "what was done to the seed before",
)

RESOWN = (
    _SOWN["per_cell"],
    Field("cells", ("(?:the\\s+|in\\s+|filled\\s+)*(?P<cells>\\d+)\\s+(?:empty\\s+|blank\\s+)?(?:cells?|blanks?|gaps?|holes?|empties|pots?|blocks?)", "<n>(?P<bare>)"),
          "12 cells", "empty cells sown again", keys=("blanks", "n"), form="{} cells"),
    _SOWN["seeds"],
    _SOWN["lot"],
    VARIETY,
)  # fmt: skip

PINCHED = (
    Field("pinched", (
        "(?:<n><u>)?(?:\\s*(?:in|on)\\s+(?P<where>(?:the\\s+)?(?:bed|tunnel|field|block|plot|frame|pots?)\\b.*))",
        "(?:at|above|to|back to|over|down to|after)\\s+(?P<text>.+)",
        "<n>(?P<unit>" + UNIT + ")?",
    ), "40 plants", "how many, and where", keys=("n", "plants")),
)  # fmt: skip

BUNCH = (
    Field("size", ("(?:bunch(?:es)?\\s+)?(?:now\\s+)?(?:(?:of|at|to)\\s+)?<n>(?:\\s*(?:stems?|s))?(?:\\s+(?:a|per|in a|each)\\s*(?:bunch)?)?",),
          "10", "stems in a bunch from that day on", keys=("n", "stems")),
)  # fmt: skip

CORRECTED = (
    _HARVESTED["bunches"],
    Field("stems", ("<n>\\s*(?:stems?|stalks?|heads?|blooms?)(?:\\s+(?:cut|in all))?",), "120 stems",
          "stems cut that day", form="{} stems"),
    *CHECKED,
)  # fmt: skip
SWAPPED = (Field("with", ("with\\s+(?P<text>.+)",), "with stock-26-2", "the other sowing"),)
RENAMED = (
    Field(
        "name",
        ("(?:(?:it is|is|to|really|really is|as)\\s+)?(?P<text>.+)",),
        "Rook Velvet",
        "what it really is",
    ),
)

WEATHER = (
    Field("range", ("<deg>\\s*(?:to|/|-|up to)\\s*(?P<of>-?\\d+(?:\\.\\d+)?)\\s*(?:°\\s*)?[CF]?",), "-2 to 11 C", "coldest and warmest"),
    Field("min", ("(?:min(?:imum)?|low|lowest|coldest|night|down to)\\.?\\s*:?\\s*(?:of\\s+)?<deg>", "<deg>\\s+(?:min(?:imum)?|low|overnight|at night)"),
          "min -2 C", "coldest of the day", form="min {}"),
    Field("max", ("(?:max(?:imum)?|high|highest|warmest|up to)\\.?\\s*:?\\s*(?:of\\s+)?<deg>", "<deg>\\s+(?:max(?:imum)?|high|by day)"),
          "max 11 C", "warmest of the day", form="max {}"),
    Field("frost", ("(?P<text>(?:no |hard |light |ground |air |first |last |black |slight |a )*frost)(?:\\s+(?:overnight|at night|in the morning))?",), "frost", "there was frost, or `no frost`"),
    Field("rain", ("(?P<depth>\\d+(?:\\.\\d+)?\\s*(?:mm|cm|in|inch|inches|\")?)\\s+(?:of\\s+)?rain", "rain(?:fall)?\\s*:?\\s*(?P<depth>\\d+(?:\\.\\d+)?\\s*(?:mm|cm|in|inch|inches|\")?)"),
          "4 mm rain", "rain", form="rain {}"),
)  # fmt: skip
TEMPERATURE = (WEATHER[0], WEATHER[1], WEATHER[2],
    Field("temperature", ("(?:about\\s+|now\\s+|at\\s+|~)?<deg>",), "18 C", "how warm it is there", keys=("temp",)))  # fmt: skip

SEEN = (
    Field("n", ("<n><uof>\\s*(?:of|out of|/)\\s*(?:the\\s+)?<of><u>(?:\\s+(?:with|had|have|show(?:ing)?|hit by)\\s+(?P<text>.+))?",), "3 of 40",
          "how many had it", keys=("n",)),
    Field("n", ("<n>\\s+(?P<unit>plants?|cells?|seedlings?|leaves)(?:\\s+(?:with|had|have|hit by)\\s+(?P<text>.+))?",), "3 plants", "how many had it"),
    Field("what", ("(?P<text>[^\\d]+)",), "thrips", "the pest or disease", keys=("pest", "disease")),
)  # fmt: skip
NETTED = (Field("with", ("(?:with\\s+|under\\s+)?(?P<text>.+)",), "with insect mesh", "what with"),)
