"""Every key job.toml may hold: one row each, with its kind, its range, and whether it is required.

The default of a key that is not required is the default of its record. Lengths mm, heights m,
strengths MPa, volumes m³, temperatures °C. The ranges only keep out what can be no wall panel: a
slip of the keyboard, or numbers that would never come to an end.
"""

from pourdeck.plan import table_checks
from pourdeck.plan.ascast import TWICE
from pourdeck.plan.kinds import (
    Either,
    Flag,
    Format,
    Many,
    Number,
    OneOf,
    Pair,
    Row,
    Table,
    Text,
    Whole,
)
from pourdeck.plan.records import (
    ALIGNMENTS,
    CAST_IN_KINDS,
    ROLES,
    SHOWN_BY,
    SIDES,
    WAYS,
    AnchorRules,
    Band,
    Benchmark,
    Bolt,
    ClimbLimit,
    EvaporationLimit,
    Holes,
    JobStep,
    JobWord,
    Kit,
    LiftLimit,
    Limits,
    Mix,
    Opening,
    Overrun,
    Person,
    Site,
    Slump,
    Stock,
    Tolerance,
)
from pourdeck.plan.table_checks import Zone

NAME = Text(most=80)
LONG = Text(most=400)
REMARK = Text(most=400, may_be_empty=True)
FACE = OneOf(words=("inside", "outside"))
ALIGN = OneOf(words=ALIGNMENTS)

SIDE = Number(what="a length in mm", least=0, most=100_000, above=True)
THICK = Number(what="a thickness in mm", least=0, most=2_000, above=True)
PLACE = Number(what="a position in mm", least=-100_000, most=100_000)
SPAN = Number(what="a length in mm", least=0, most=100_000)
PITCH = Number(what="a length in mm", least=10, most=100_000)
CHAMFER = Number(what="a length in mm", least=0, most=1_000)
FORM = Number(what="a length in mm", least=50, most=100_000)
REACH = Number(what="an offset in mm", least=-1_000, most=10_000)
SMALL = Number(what="mm", least=0, most=1_000)
SIZE = Number(what="a size in mm", least=0, most=1_000_000, above=True)
RL = Number(what="a height on the site datum in m", least=-12_000, most=12_000)
STRENGTH = Number(what="a strength in MPa", least=0, most=300, above=True)
MINUTES = Number(what="minutes", least=0, most=1_440, above=True)

BENCHMARK = Table("a name and an rl", Benchmark, (
    Row("name", NAME, required=True),
    Row("rl", RL, required=True),
))  # fmt: skip

SITE = Table("the table [site]", Site, (
    Row("zone", Zone()),
    Row("benchmark", BENCHMARK),
))  # fmt: skip

PERSON = Table("a name and a role", Person, (
    Row("name", NAME, required=True),
    Row("role", OneOf(words=ROLES), required=True),
))  # fmt: skip

JOB = Table("the table [job]", dict, (
    Row("name", NAME, required=True),
    Row("number", NAME, required=True),
    Row("units", OneOf(words=("metric", "imperial"))),
    Row("drawings", REMARK),
))  # fmt: skip

HOLES = Table("first and pitch", Holes, (
    Row("first", SPAN, required=True),
    Row("pitch", PITCH, required=True),
))  # fmt: skip

ANCHORS = Table("end_min, end_max, gap_max and clear", AnchorRules, (
    Row("end_min", SPAN, required=True),
    Row("end_max", PITCH, required=True),
    Row("gap_max", PITCH, required=True),
    Row("clear", SPAN, required=True),
), table_checks.rising_pair("end_min", "end_max"))  # fmt: skip

OVERRUN = Table("min and max", Overrun, (
    Row("min", SPAN, required=True),
    Row("max", SPAN, required=True),
), table_checks.rising_pair("min", "max"))  # fmt: skip

STOCK = Table("length and count, with or without depth", Stock, (
    Row("length", FORM, required=True),
    Row("count", Whole(what="a whole number of forms", least=0, most=10_000), required=True),
    Row("depth", THICK),
))  # fmt: skip

BOLT = Table("a name and a reach", Bolt, (
    Row("name", NAME, required=True),
    Row("reach", Pair(each=REACH, rising=True), required=True),
))  # fmt: skip

KIT = Table("the table [kit]", Kit, (
    Row("depths", Many(each=THICK, what="the form depths held", least=1, most=100), required=True),
    Row("chamfer", CHAMFER, required=True),
    Row("holes", HOLES, required=True),
    Row("anchors", ANCHORS, required=True),
    Row("overrun", OVERRUN, required=True),
    Row("stock", Many(each=STOCK, what="the forms held", least=1, most=200), required=True),
    Row("brackets", Whole(what="a whole number of brackets", least=0, most=100_000)),
    Row("bolts", Many(each=BOLT, what="the bolt positions", least=1, most=50), required=True),
), table_checks.bolt_names)  # fmt: skip

SLUMP = Table("target, plus and minus", Slump, (
    Row("target", SMALL, required=True),
    Row("plus", SMALL, required=True),
    Row("minus", SMALL, required=True),
))  # fmt: skip

MIX = Table("the table [mix]", Mix, (
    Row("name", NAME),
    Row("strength", STRENGTH),
    Row("cement", OneOf(words=("R", "N", "S"))),
    Row("density", Number(what="kg/m³", least=0, most=10_000, above=True)),
    Row("slump", SLUMP),
    Row("truck", Number(what="m³", least=0, most=100, above=True)),
    Row("waste", Number(what="a share (0.04 for 4 %)", least=0, most=1)),
    Row("discharge_minutes", MINUTES),
    Row("order_step", Number(what="m³", least=0, most=100, above=True)),
    Row("least_load", Number(what="m³", least=0, most=100)),
))  # fmt: skip

CLIMB = Table("strength, hours and by", ClimbLimit, (
    Row("strength", STRENGTH),
    Row("hours", Number(what="hours", least=0, most=10_000)),
    Row("by", OneOf(words=SHOWN_BY)),
))  # fmt: skip

LIFT = Table("strength, eccentricity and factor", LiftLimit, (
    Row("strength", STRENGTH),
    Row("eccentricity", SMALL),
    Row("factor", Number(what="a factor on the mass, 1 or more", least=1, most=10)),
))  # fmt: skip

EVAPORATION = Table("caution and act", EvaporationLimit, (
    Row("caution", Number(what="kg/m²/h", least=0, most=100)),
    Row("act", Number(what="kg/m²/h", least=0, most=100)),
), table_checks.rising_pair("caution", "act"))  # fmt: skip

DEGREES = Number(what="a temperature in °C", least=-50, most=100)

LIMIT_ROWS = (
    Row("lap", SMALL),
    Row("tape", Number(what="mm", least=0, most=100, above=True)),
    Row("level_misclose", SMALL),
    Row("stack_height", SIDE),
    Row("climb", CLIMB),
    Row("strip", CLIMB),
    Row("lift", LIFT),
    Row("concrete_temperature", Pair(each=DEGREES, rising=True)),
    Row("evaporation", EVAPORATION),
    Row("gap_minutes", MINUTES),
    Row("temperature_gap", Number(what="hours", least=0, most=168, above=True)),
)

SOURCES = Table("a document in quotes for each limit named", dict, tuple(
    Row(row.key, LONG) for row in LIMIT_ROWS
))  # fmt: skip

LIMITS = Table("the table [limits]", Limits, (
    *LIMIT_ROWS,
    Row("sources", SOURCES),
), table_checks.limit_sources)  # fmt: skip

BAND = Table("upto, plus and minus", Band, (
    Row("upto", SIZE),
    Row("plus", SMALL, required=True),
    Row("minus", SMALL, required=True),
))  # fmt: skip

DIAGONAL_BAND = Table("upto and plus", table_checks.diagonal_band, (
    Row("upto", SIZE),
    Row("plus", SMALL, required=True),
    Row("minus", SMALL),
))  # fmt: skip

BANDS = Many(each=BAND, what="a list of bands", most=50)

TOLERANCE = Table("the table [tolerance]", Tolerance, (
    Row("source", LONG),
    Row("width", BANDS),
    Row("height", BANDS),
    Row("thickness", BANDS),
    Row("diagonals", Many(each=DIAGONAL_BAND, what="a list of bands", most=50)),
    Row("offset", BANDS),
    Row("position", BANDS),
    Row("level", BANDS),
    Row("plumb", BANDS),
    Row("twice", Many(each=OneOf(words=TWICE), what="a list of what is measured twice", most=20)),
), table_checks.bands)  # fmt: skip

OPENING = Table("name, x, y, width and height", Opening, (
    Row("name", NAME, required=True),
    Row("x", PLACE, required=True),
    Row("y", PLACE, required=True),
    Row("width", SIDE, required=True),
    Row("height", SIDE, required=True),
))  # fmt: skip

CASTIN = Table("name and kind, with x and y, or edge and at", table_checks.castin_of, (
    Row("name", NAME, required=True),
    Row("kind", OneOf(words=CAST_IN_KINDS), required=True),
    Row("x", PLACE),
    Row("y", PLACE),
    Row("edge", OneOf(words=SIDES)),
    Row("at", PLACE),
), table_checks.one_place)  # fmt: skip

PANEL = Table("a panel", dict, (
    Row("mark", NAME, required=True),
    Row("width", SIDE, required=True),
    Row("height", SIDE, required=True),
    Row("thickness", THICK, required=True),
    Row("lift", Whole(what="a whole number", least=1, most=1_000_000)),
    Row("rev", REMARK),
    Row("align", ALIGN),
    Row("shift", Pair(each=PLACE)),
    Row("drawn_from", FACE),
    Row("face_up", FACE),
    Row("openings", Many(each=OPENING, what="a list of openings", most=200)),
    Row("castins", Many(each=CASTIN, what="a list of cast-ins", most=1_000)),
))  # fmt: skip

PANELS = Many(
    each=PANEL, what="the panels of the stack, each under [[stack.panel]]", least=1, most=500
)

STACK = Table("a stack", table_checks.stack_of, (
    Row("id", NAME, required=True),
    Row("bed_rl", RL, required=True),
    Row("align", ALIGN),
    Row("panel", PANELS, required=True, to="panels"),
))  # fmt: skip

ANSWER = OneOf(words=("choice", "measure", "count", "text", "time"))
READING = Number(what="a number", least=-1_000_000, most=1_000_000)
MARGIN = Number(what="a number", least=0, most=1_000_000)

STEP = Table("an item of the walk", JobStep, (
    Row("section", NAME),
    Row("id", NAME),
    Row("prompt", LONG),
    Row("answer", ANSWER),
    Row("choices", Many(each=NAME, what="a list of words in quotes", most=50)),
    Row("unit", NAME),
    Row("expected", Either(number=READING, text=LONG)),
    Row("plus", MARGIN),
    Row("minus", MARGIN),
    Row("source", LONG),
    Row("second", Flag()),
    Row("drop", NAME),
    Row("reason", LONG),
), table_checks.step_whole)  # fmt: skip

WORD = Table("an act with its roles and ways", JobWord, (
    Row("act", NAME, required=True),
    Row("roles", Many(each=OneOf(words=ROLES), what="the roles that are enough", least=1, most=6)),
    Row("ways", Many(each=OneOf(words=WAYS), what="the ways that are enough", least=1, most=3)),
), table_checks.word_stricter)  # fmt: skip

FILE = Table("a job", dict, (
    Row("format", Format(), required=True),
    Row("job", JOB, required=True),
    Row("site", SITE),
    Row("person", Many(each=PERSON, what="people, each under [[person]]", most=1_000), to="people"),
    Row("kit", KIT, required=True),
    Row("mix", MIX),
    Row("limits", LIMITS),
    Row("tolerance", TOLERANCE),
    Row("stack", Many(each=STACK, what="stacks, each under [[stack]]", least=1, most=5_000),
        required=True, to="stacks"),
    Row("word", Many(each=WORD, what="acts, each under [[word]]", most=100), to="words"),
    Row("step", Many(each=STEP, what="items, each under [[step]]", most=1_000), to="steps"),
), table_checks.job_whole)  # fmt: skip
