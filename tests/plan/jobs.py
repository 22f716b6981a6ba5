"""A small job whose text tests change: what is not changed in it is right."""

from pathlib import Path

from pourdeck.plan.messages import Finding, JobFaulty
from pourdeck.plan.reader import read_job_text
from pourdeck.plan.records import Job

FOLDER = Path("works")

HEAD = """\
format = 1

[job]
name = "Shed by the Quarry"
number = "J-1"

[site]
zone = "Australia/Hobart"

[[person]]
name = "Ada Rowe"
role = "foreman"

[kit]
depths  = [125, 150, 175, 200]
chamfer = 15
holes   = { first = 500, pitch = 1000 }
anchors = { end_min = 150, end_max = 1000, gap_max = 1500, clear = 150 }
overrun = { min = 0, max = 1000 }
stock   = [ { length = 1000, count = 8 }, { length = 3000, count = 12, depth = 150 } ]
brackets = 60
bolts   = [ { name = "outer", reach = [0, 160] }, { name = "inner", reach = [140, 300] } ]

[limits]
climb = { strength = 10, hours = 18 }
sources = { climb = "engineer's note 14" }

[tolerance]
source = "specification, table 2"
width = [ { upto = 6000, plus = 6, minus = 6 }, { plus = 10, minus = 10 } ]
diagonals = [ { plus = 13 } ]
"""

STACKS = """
[[stack]]
id = "A"
bed_rl = 42.655
align = "base-centre"

[[stack.panel]]
mark = "W01"
width = 7200
height = 8700
thickness = 150
lift = 4
openings = [ { name = "D1", x = 900, y = 0, width = 1000, height = 2100 } ]
castins = [
  { name = "L1", kind = "lifter", x = 3000, y = 6200 },
  { name = "E1", kind = "lifter", edge = "head", at = 1500 },
]

[[stack.panel]]
mark = "W02"
width = 7000
height = 8700
thickness = 150
lift = 3
align = "base-left"
shift = [0, 12.5]
drawn_from = "outside"

[[stack]]
id = "B"
bed_rl = 41.2

[[stack.panel]]
mark = "W03"
width = 5400.5
height = 6000
thickness = 200
"""

JOB = HEAD + STACKS


def job(text: str = JOB) -> Job:
    """The job of a text that must read."""
    return read_job_text(text, FOLDER)


def faults(text: str) -> tuple[Finding, ...]:
    """The findings of a text that must not read."""
    try:
        read_job_text(text, FOLDER)
    except JobFaulty as faulty:
        return faulty.findings
    raise AssertionError("the text reads without a fault")


def changed(old: str, new: str, text: str = JOB) -> str:
    """The text with one place changed, which must be there once."""
    assert text.count(old) == 1, f"{old!r} is there {text.count(old)} times"
    return text.replace(old, new)
