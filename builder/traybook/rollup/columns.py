"""What every column of every table means: the headers, the data dictionary and its page rest on it.

A column is written `name | form | meaning`. Forms: text, date, year, yes/no, count (a whole number
from 0), number (any other), share (0-1, 4 decimals), days (2 decimals), or the words it can hold
between slashes. A `!` after the form: never empty.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Column:
    """One column: its name, its form, whether it is always filled, and what it means."""

    name: str
    form: str
    filled: bool
    meaning: str

    @property
    def words(self) -> tuple[str, ...]:
        """The words it can hold, where these are fixed."""
        return tuple(self.form.split("/")) if "/" in self.form and self.form != "yes/no" else ()


_EVENTS = """\
on | date | the day the line is of; empty where none could be read
n | count! | its number in its day's file order, from 1; the subjects of one line share theirs
verb | text | the verb, or a doing's own word
subject_written | text | the subject as written
code | text | the sowing it is about, as it was understood
stand | text | where it counts: sown, or the place, container or bed named, with ` 2` for a second one
text | text! | the line as typed; several lines are joined by line feeds
read_as | text | how it was read, in words, or why it is set aside or waits
by | text | initials of whoever wrote it
private | yes/no! | true for a line that is never published
weight | ok/doubt/pending/error! | ok, read with a doubt, waiting for an answer, or set aside
file | text! | the file it stands in
line | count! | the line of that file, from 1"""

_SOWINGS = """\
code | text! | the sowing's name
crop | text! | the kind
variety | text | the variety
season | year! | the year meant for the first cut
lot | text | the seed lot
sown_on | date! | the day sown; of plants bought in, the day they arrived
container | text | what it was sown in, or the bed
seeds | number | seeds sown: as said, grams by seeds per gram, or cells by the middle of the seeds a cell
cells | count | cells sown
cells_up | count | cells with at least one up, as seen
seeds_per_cell | text | seeds in each cell, or a range as 2-3
counted_in | text | what emerged rests on: cells, seedlings, sprouted seeds, plants
measure | up/sprouted/stand/bought in/corm! | what is counted: in a tray, on paper, direct, bought in, corms; never pooled
checks | count! | visits with a full count
emerged | count | seedlings that came up: counted, or worked out from cells
emerged_at_least | yes/no! | true when more may have come up than was seen
lost | count! | lost where it was sown, to date
taken | count! | taken from where it was sown, to date
missing | count! | fell without a reason and hasn't been made good
settled | yes/no! | finished, nothing left where sown, or no rise in two counts after the give-up day
in_germination | yes/no! | true when it enters its kind's germination
germination | share | emerged by seeds
germination_low | share | lower end of its 95 % interval
germination_high | share | upper end of its 95 % interval
germination_estimated | yes/no! | true when worked out from cells of several seeds
cell_stand | share | cells with at least one, by cells sown
first_up_after | days | the last look with none; 0 if there was none
first_up_by | days | the first look with some; both empty while there are none
half_day | days | when half of those that emerged were up, on a straight line between two looks
half_after | days | the last look with fewer than half
half_by | days | the first look with half or more
tenth_day | days | the same point for one in ten
ninetieth_day | days | the same point for nine in ten
mean_days | days | days of the looks, weighted by what was new at each
evenness_days | days | from one in ten to nine in ten
clock | sown/out of cold/arrival! | from when the speed figures count their days
potted_on | count! | plants that left where they were sown for a pot or cell
good | count | plants planted, sold, given or spare
good_so_far | yes/no! | true while plants stand unaccounted for
good_share | share | good by seeds, or by cells where several seeds went in each; only of settled sowings
planted_out | count! | plants planted out
sold | count! | plants sold
given | count! | plants given away
spare | count! | good plants put by
alive | count | plants alive after they left where they were sown, at their last word
stems | count | good stems told apart as this sowing's
stems_at_least | yes/no! | true when stems of its crop cut while it stood stayed with the crop
stems_rejected | count | stems that were not good enough
stems_per_plant | number | stems by planted out; empty when stems are at least
first_cut_on | date | the first cut
last_cut_on | date | the last cut
days_to_first_cut | days | from sowing to the first cut
place | text | where the largest share stood until half was up
light | text | the light there
cover_mm | number | how deep it was covered, in millimetres; 0 on the surface
treatment | text | what was done to the seed, in order, joined by ` + `
treatment_days | days | how long, all together
finished_on | date | the day it was over
outcome | growing/finished/failed/mislabelled/given up! | growing until finished; then by its reason, else failed if good is 0
left_out | count! | lines about it that are set aside or wait"""

_CHECKS = """\
code | text! | the sowing
stand | text! | sown, or the place, container or bed looked at
on | date! | the day
day | days | days from sowing; empty for a total whose days nobody kept
up | count | up before anything was taken that day
left | count | left after taking, only as typed
alive | count | alive in a later stand
unit | text | what was counted
sample_of | count | for a sample, out of how many
lost | count! | plants lost since the look before
seeds_lost | count! | seeds lost, none of which had come up
taken | count! | plants taken that day
emerged_so_far | count | emerged up to and with that day, in the unit that emerged rests on
cause | text | what took the lost ones
by | text | initials of whoever looked
file | text! | the file it stands in
line | count! | the line of that file"""

_POTTINGS = """\
code | text! | the sowing
on | date! | the day
plants | count! | plants moved into pots or cells
from | text | the stand they came from
into | text | the container"""

_PLANTINGS = """\
code | text! | the sowing
on | date! | the day
plants | count! | plants planted
bed | text | the bed
rows | count | rows
in_row_cm | number | spacing in the row, in centimetres
between_cm | number | spacing between rows, in centimetres
length_m | number | length of the planting in metres: said, else plants by spacing and rows
alive | count | plants alive there at their last word"""

_HARVESTS = """\
code | text | the sowing, where the cut was told apart
crop | text | the kind; mix for a mixed cut
variety | text | the variety, where it was named
bed | text | the bed cut from
on | date! | the day
stems | count | good stems
bunches | count | bunches
bunch_size | count | stems in a bunch
grams | number | weight in grams
rejected | count | stems not good enough
grade | text | the grade
by | text | initials of whoever cut
file | text! | the file it stands in
line | count! | the line of that file"""

_WEEKS = """\
cut_year | year! | the ISO 8601 year of the week, which in the first days of January may be the one before
week | count! | the ISO 8601 week of the day cut, from 1
crop | text | the kind; mix for a mixed cut
stems | count | good stems, as far as they are known
bunches | count | bunches, as far as they are known"""

_CROPS = """\
crop | text! | the kind
season | year! | the year meant for the first cut
measure | up/sprouted/stand/bought in/corm! | one measure a row, never pooled
sowings | count! | all sowings
seeds | number! | seeds of the sowings that enter germination
emerged | count! | of those, emerged
germination | share | emerged by seeds; where cells of several seeds stand in, by the score equation
germination_low | share | lower end of its interval
germination_high | share | upper end of its interval
spread | number | how far sowings lie apart beyond chance (rho)
half_day | days | median of the sowings' half_day
good | count! | good plants of all sowings
good_share | share | good by what it is a share of, over the sowings that have one
planted_out | count! | plants planted out
stems | count! | stems of these sowings, whenever cut
stems_per_plant | number | stems by planted out
first_cut_on | date | the first cut
last_cut_on | date | the last cut"""

_LOTS = """\
lot | text! | the lot's code
crop | text | the kind
variety | text | the variety
supplier | text | who it came from
packed_for | year | the year it was packed for
received_on | date | the day it arrived
seeds | number | seeds received
seeds_left | number | seeds not yet sown, as far as that is known
tested_on | date | the day of its last test
tested_n | count | seeds tested
tested_sprouted | count | of those, sprouted
dressed | yes/no! | true when it was treated with a pesticide
age_years | number | years since the year it was packed for"""

_FINDINGS = """\
name | text! | the finding's name
weight | doubt/pending/error! | used with a doubt, waiting, or set aside
file | text! | the file
line | count! | the line, from 1
column | count! | the column, from 1
message | text! | what is odd or wrong"""


def _read(text: str) -> tuple[Column, ...]:
    out = []
    for line in text.split("\n"):
        name, form, meaning = line.split(" | ")
        out.append(Column(name, form.removesuffix("!"), form.endswith("!"), meaning))
    return tuple(out)


#: Every table's columns in their order, by file name.
COLUMNS: dict[str, tuple[Column, ...]] = {
    "events.csv": _read(_EVENTS),
    "sowings.csv": _read(_SOWINGS),
    "checks.csv": _read(_CHECKS),
    "pottings.csv": _read(_POTTINGS),
    "plantings.csv": _read(_PLANTINGS),
    "harvests.csv": _read(_HARVESTS),
    "weeks.csv": _read(_WEEKS),
    "crops.csv": _read(_CROPS),
    "lots.csv": _read(_LOTS),
    "findings.csv": _read(_FINDINGS),
}
#: What a row of each table is.
ROWS = {
    "events.csv": "a row an event and subject, nothing left out",
    "sowings.csv": "a row a sowing",
    "checks.csv": "a row a stand and day that was looked at, and one for each sample",
    "pottings.csv": "a row a potting on or pricking out",
    "plantings.csv": "a row a planting",
    "harvests.csv": "a row a cut",
    "weeks.csv": "a row a week and crop that was cut",
    "crops.csv": "a row a crop, season and measure",
    "lots.csv": "a row a seed lot",
    "findings.csv": "a row a finding; only in your own export",
}


def header(name: str) -> tuple[str, ...]:
    """The names of a table's columns."""
    return tuple(c.name for c in COLUMNS[name])
