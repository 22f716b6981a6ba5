"""Jobs of any size for the benchmark, the same every time, with the mix of cases of a real one."""

from pathlib import Path

HEAD = """\
format = 1

[job]
name = "Generated yard"
number = "GEN-{stacks}x{panels}"

[site]
zone = "Australia/Hobart"
benchmark = {{ name = "TBM 1", rl = 42.180 }}

[[person]]
name = "M. Tallow"
role = "foreman"

[[person]]
name = "R. Osei"
role = "hand"

[[person]]
name = "J. Pell"
role = "hand"

[[person]]
name = "K. Dunn"
role = "hand"

[[person]]
name = "S. Marsh"
role = "supervisor"

[[person]]
name = "P. Field"
role = "surveyor"

[kit]
depths  = [125, 150, 175, 200]
chamfer = 15
holes   = {{ first = 500, pitch = 1000 }}
anchors = {{ end_min = 150, end_max = 1000, gap_max = 1500, clear = 150 }}
overrun = {{ min = 0, max = 1000 }}
stock = [
  {{ length = 3000, count = 20 }},
  {{ length = 2000, count = 8 }},
  {{ length = 1000, count = 8 }},
  {{ length = 500, count = 4 }},
]
brackets = 60
bolts = [
  {{ name = "outer", reach = [0, 160] }},
  {{ name = "inner", reach = [140, 300] }},
]

[mix]
strength = 40
density = 2400

[limits]
climb = {{ strength = 10, hours = 18 }}
sources = {{ climb = "engineer's note 14" }}

[tolerance]
source = "project specification, table 4"
width = [ {{ upto = 6000, plus = 5, minus = 5 }}, {{ plus = 8, minus = 8 }} ]
height = [ {{ upto = 6000, plus = 5, minus = 5 }}, {{ plus = 8, minus = 8 }} ]
diagonals = [ {{ plus = 12 }} ]
offset = [ {{ plus = 2, minus = 2 }} ]
"""

STACK = """
[[stack]]
id = "S{stack}"
bed_rl = {rl:.3f}
align = "base-left"
"""

PANEL = """
[[stack.panel]]
mark = "{mark}"
width = {width}
height = {height}
thickness = {thickness}
lift = {lift}
rev = "C"
align = "{align}"
drawn_from = "{drawn}"
openings = [
{openings}]
castins = [
  {{ name = "L1", kind = "lifter", x = 1500, y = {upper} }},
  {{ name = "L2", kind = "lifter", x = {far}, y = {upper} }},
  {{ name = "BR1", kind = "brace", x = 2200, y = {brace} }},
  {{ name = "BR2", kind = "brace", x = {nearer}, y = {brace} }},
  {{ name = "E1", kind = "lifter", edge = "head", at = 1200 }},
  {{ name = "P1", kind = "plate", x = 400, y = 400 }},
]
"""

ALIGNMENTS = ("base-left", "base-centre", "centre", "base-right")
WINDOW = '  {{ name = "V1", x = {x}, y = 2600, width = 1500, height = 1200 }},\n'
DOOR = '  {{ name = "D1", x = {x}, y = 0, width = 1000, height = 2100 }},\n'


def job_text(stacks: int, panels: int) -> str:
    """job.toml of so many stacks of so many panels: no errors, some warnings."""
    parts = [HEAD.format(stacks=stacks, panels=panels)]
    for stack in range(1, stacks + 1):
        parts.append(STACK.format(stack=stack, rl=42.6 + stack / 1000))
        for number in range(1, panels + 1):
            lift = panels * stack - number + 1
            parts.append(_panel(stack, number, lift))
    return "".join(parts)


def _panel(stack: int, number: int, lift: int) -> str:
    width = 8600 + 37 * (stack % 11) - 85 * number
    height = 8900 + 23 * (stack % 7) - 70 * number
    openings = ""
    if (stack + number) % 2:
        openings += WINDOW.format(x=2600 + 50 * (number % 3))
    if (stack + number) % 5 == 0:
        openings += DOOR.format(x=4700)
    return PANEL.format(
        mark=f"S{stack}-{number}",
        width=width,
        height=height,
        thickness=175 if number <= 2 else 150,
        lift=lift,
        align=ALIGNMENTS[(stack + number) % 4],
        drawn="outside" if (stack + number) % 3 == 0 else "inside",
        openings=openings,
        upper=height - 2600,
        far=width - 1500,
        brace=height - 2300,
        nearer=width - 2200,
    )


def write_job(folder: Path, stacks: int, panels: int) -> Path:
    """Write the job into `folder`, which is made, and give it back."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "job.toml").write_text(job_text(stacks, panels), encoding="utf-8")
    return folder
