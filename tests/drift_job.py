"""A stack that leans: a job of panels of one size, as many poured and taped as are told.

What was cast is put together by plain geometry and recorded as a crew would: a pour, then as-cast values.
"""

from collections.abc import Mapping, Sequence
from pathlib import Path

from pourdeck.plan.numbers import plain
from pourdeck.setout.panel import set_out_stack
from pourdeck.walk.desk import Desk
from pourdeck.walk.records import Act
from tests.walk.kit import FOREMAN, HEAD, KIT, PEOPLE, job_of, open_desk

Taped = Mapping[str, float] | None

LIMITS = """
[limits]
lap = 50
climb = { hours = 18 }
[tolerance]
source = "trial spec, table 1"
width = [ { plus = 8, minus = 8 } ]
position = [ { plus = 20, minus = 20 } ]
"""

WIDTH, HEIGHT = 6000, 5000


def job_text(panels: int, head: str = HEAD, limits: str = LIMITS, mark: str = "W{:02}") -> str:
    """Panels of one size, the first cast the last to be lifted; a second stack of one."""
    each = f"width = {WIDTH}\nheight = {HEIGHT}\nthickness = 150\n"
    stack = '[[stack]]\nid = "A"\nbed_rl = 100.850\n' + "".join(
        f'[[stack.panel]]\nmark = "{mark.format(n)}"\n{each}lift = {panels + 2 - n}\n'
        for n in range(1, panels + 1)
    )
    other = (
        f'[[stack]]\nid = "B"\nbed_rl = 100.900\n[[stack.panel]]\nmark = "V01"\n{each}lift = 1\n'
    )
    return head + PEOPLE + KIT + limits + stack + other


def leaning(number: int, each: float = 3) -> dict[str, float]:
    """Four marks at left and right: the panel moved to the right, `each` mm more than the one below."""
    out = each * number
    return {"out_right_br": out, "out_right_hr": out, "out_left_bl": -out, "out_left_hl": -out}


def growing(number: int, each: float = 2) -> dict[str, float]:
    """The width taped twice, `each` mm more than on the panel below: nothing says where it lies."""
    return dict.fromkeys(("width_base", "width_head"), WIDTH + each * number)


def drift_desk(folder: Path, taped: Sequence[Taped], text: str = "", panels: int = 8) -> Desk:
    """A desk on which the lowest panels were poured, and measured where there are values."""
    text = text or job_text(panels)
    desk = open_desk(folder, text)
    job = job_of(text)
    for setout, values in zip(set_out_stack(job, job.stacks[0], {}), taped, strict=False):
        anchors = {side: [plain(at) for at in found] for side, found in setout.anchors.items()}
        panel = setout.panel
        pour = {
            "panel": panel.mark,
            "time": desk.now().isoformat(),
            "width": plain(panel.width),
            "height": plain(panel.height),
            "thickness": plain(panel.thickness),
            "align": panel.align,
            "anchors": anchors,
            "extra_anchors": {},
        }
        desk.record(Act(kind="pour-start", by=FOREMAN, data=pour, says=""))
        if values is not None:
            read = {key: format(value, "g") for key, value in values.items()}
            cast = {"panel": panel.mark, "values": read}
            desk.record(Act(kind="as-cast", by=FOREMAN, data=cast, says=""))
    return desk


SIX = tuple(leaning(number) for number in range(1, 7))
"""Six panels each leaning 3 mm more the same way."""
