"""Valid job.toml texts nobody has seen: for each seed one small job with something odd about it."""

from decimal import Decimal
from random import Random

from .kit_random import KitWriter
from .plan import ALIGNS

D = Decimal
KINDS = ("lifter", "brace", "ferrule", "plate", "dowel", "conduit", "other")


def job_text(seed: int) -> str:
    return JobWriter(Random(seed)).text()


class JobWriter(KitWriter):
    """Writes all of a job; another writer may put its own mix and limits in their place."""

    def __init__(self, chance: Random) -> None:
        self.chance = chance
        self.grain = chance.choice(
            [D(100), D(50), D(10), D(1), D("0.5"), D("0.25"), D("25.4"), D("1.5875")]
        )
        self.fault = chance.random() < 0.35
        """Whether this job may hold faults of the plan (features outside, lifts out of order, …)."""

    def between(self, least: object, most: object, grain: Decimal | None = None) -> Decimal:
        """A multiple of the grain near the range."""
        step = grain or self.grain
        low, high = int(D(str(least)) / step), int(D(str(most)) / step)
        return self.chance.randint(min(low, high), max(low, high)) * step

    def spelt(self, size: Decimal) -> str:
        """Write the number in one of the ways TOML lets a number be written."""
        ways = [str(size), str(size), f"+{size}", f"{size / 1000}e3"]
        if size == size.to_integral_value():
            ways += [f"{int(size)}.0", f"{int(size):_}"]
        return self.chance.choice(ways)

    def text(self) -> str:
        chance = self.chance
        lines = ["format = 1", "[job]", f'name = "Job {chance.randint(1, 999)}"', 'number = "J-1"']
        lines += [f'units = "{chance.choice(["metric", "imperial"])}"', *self.kit()]
        lines += self.mix()
        lines += self.limits()
        self.lift = 60
        self.marks: list[str] = []
        for number in range(chance.choice([1, 1, 2, 3])):
            lines += self.stack(number)
        return "\n".join(lines) + "\n"

    def mix(self) -> list[str]:
        if self.odds(0.9):
            return ["[mix]", f"density = {self.chance.choice(['2400', '2403.5', '1950'])}"]
        return []

    def limits(self) -> list[str]:
        chance, limits = self.chance, []
        if self.odds(0.5):
            limits.append(f"lap = {chance.choice(['0', '3', '2.5', '10', '0.5'])}")
        if self.odds(0.4):
            limits.append(f"stack_height = {chance.choice(['300', '600', '750', '1500'])}")
        return ["[limits]", *limits] if limits else []

    def stack(self, number: int) -> list[str]:
        chance = self.chance
        rl = chance.choice(["42.655", "-1", "0.0005", "103.1"])
        lines = ["[[stack]]", f'id = "{"ABC"[number]}"', f"bed_rl = {rl}"]
        if self.odds(0.4):
            lines.append(f'align = "{chance.choice(ALIGNS)}"')
        width, height = self.between(1500, 9000), self.between(1500, 9000)
        if self.odds(0.05):
            width = self.between(200, 500, D("0.5"))
        self.below: tuple[Decimal, Decimal, list[tuple[Decimal, ...]]] | None = None
        for _ in range(chance.choice([1, 2, 3, 3, 4, 5])):
            lines += self.panel(width, height)
            width, height = self.next_size(width), self.next_size(height)
        return lines

    def next_size(self, size: Decimal) -> Decimal:
        chance = self.chance
        shape = chance.choice(["same", "same", "less", "less", "less", "edge", "more", "much"])
        if shape == "less":
            return max(self.grain, D(200), size - self.between(0, 320))
        if shape == "edge":
            band = chance.choice(self.bands)[1]
            size -= chance.choice([1, 2]) * chance.choice(band) + chance.choice([0, 0, D("0.5")])
        if shape == "more":
            size += chance.choice([D(1), D(3), D(6), D("2.5"), D("3.5"), D(40)])
        if shape == "much" and self.odds(0.4):
            size -= self.between(300, 1500)
        return max(size, D(200))

    def panel(self, width: Decimal, height: Decimal) -> list[str]:
        chance = self.chance
        mark = f"P{len(self.marks) + 1}"
        if self.fault and self.marks and self.odds(0.07):
            mark = chance.choice(self.marks)
        self.marks.append(mark)
        thickness = chance.choice(self.depths)
        if self.odds(0.06):
            thickness = D("160.5")
        lines = ["[[stack.panel]]", f'mark = "{mark}"']
        lines += [f"width = {self.spelt(width)}", f"height = {self.spelt(height)}"]
        lines.append(f"thickness = {thickness}")
        self.lift -= 1
        if not (self.fault and self.odds(0.1)):
            lift = self.lift + (
                chance.choice([-2, 2, 1, 3]) if self.fault and self.odds(0.15) else 0
            )
            lines.append(f"lift = {lift}")
        if self.odds(0.4):
            lines.append('rev = "C"')
        if self.odds(0.6):
            lines.append(f'align = "{chance.choice(ALIGNS)}"')
        if self.odds(0.3):
            moves = ["0", "0", "50", "-20", "12.5", "-2", "1", "150", "-0.0", "1.5e2"]
            moves += ["-20_000", "3.1e3"] if self.fault else []
            move = [chance.choice(moves) for _ in "xy"]
            lines.append(f"shift = [{', '.join(move)}]")
        mirrored = False
        for key in ("drawn_from", "face_up"):
            if self.odds(0.4):
                face = chance.choice(["inside", "outside"])
                mirrored ^= face == "outside"
                lines.append(f'{key} = "{face}"')
        boxes = self.openings(width, height)
        if boxes:
            rows = ", ".join(
                f'{{ name = "O{n}", x = {x}, y = {y}, width = {w}, height = {h} }}'
                for n, (x, y, w, h) in enumerate(boxes)
            )
            lines.append(f"openings = [{rows}]")
        rows = ", ".join(self.castins(width, height, boxes))
        if rows:
            lines.append(f"castins = [{rows}]")
        cast = [(width - x - w if mirrored else x, y, w, h) for x, y, w, h in boxes]
        self.below = (width, height, cast)
        return lines

    def openings(self, width: Decimal, height: Decimal) -> list[tuple[Decimal, ...]]:
        chance = self.chance
        found: list[tuple[Decimal, ...]] = []
        if self.odds(0.25):
            return found
        for _ in range(chance.choice([1, 1, 2, 3])):
            one = self.opening(width, height)
            if one is None:
                continue
            x, y, w, h = one
            outside = x < 0 or y < 0 or x + w > width or y + h > height
            overlap = any(
                x < a + c and a < x + w and y < b + d and b < y + h for a, b, c, d in found
            )
            if (outside or overlap) and not (self.fault and self.odds(0.4)):
                continue
            if w > 0 and h > 0:
                found.append(one)
        return found

    def opening(self, width: Decimal, height: Decimal) -> tuple[Decimal, ...] | None:
        chance = self.chance
        if self.below and self.below[2] and self.odds(0.5):
            x, y, w, h = chance.choice(self.below[2])
            move = [chance.choice([0, 0, 50, -50, 200, D("0.5")]) for _ in range(4)]
            return (x + move[0], y + move[1], w + move[2], h + move[3])
        w = min(self.between(200, 3500), width)
        h = min(self.between(200, 3000), height)
        x, y = self.between(0, width - w), self.between(0, height - h)
        spots = ["door", "door", "window", "head", "left", "right", "corner", "out", "wide"]
        spot = chance.choice(spots)
        if spot == "wide":
            return (D(0), chance.choice([D(0), y, height - h]), width, h)
        if self.fault and self.odds(0.02):
            return (D(0), D(0), width, height)
        if spot in ("door", "corner"):
            y = D(0)
        if spot == "head":
            y = height - h
        if spot in ("left", "corner"):
            x = D(0)
        if spot == "right":
            x = width - w
        if spot == "out":
            x, y = self.between(-300, width), self.between(-300, height)
        return (x, y, w, h)

    def castins(
        self, width: Decimal, height: Decimal, boxes: list[tuple[Decimal, ...]]
    ) -> list[str]:
        chance = self.chance
        found = []
        self.last = D(0)
        for number in range(chance.choice([0, 0, 1, 2, 4, 7])):
            kind = chance.choice(KINDS)
            if self.odds(0.6):
                place = self.in_edge(width, height)
                found.append(f'{{ name = "E{number}", kind = "{kind}", {place} }}')
                continue
            x, y = self.between(0, width), self.between(0, height)
            if boxes and self.fault and self.odds(0.3):
                a, b, c, d = chance.choice(boxes)
                x, y = a + chance.choice([D(0), c / 2, c]), b + chance.choice([D(0), d / 2, d])
            if self.fault and self.odds(0.1):
                x = chance.choice([-self.grain, width + self.grain, width, D(0)])
            found.append(f'{{ name = "F{number}", kind = "{kind}", x = {x}, y = {y} }}')
        return found

    def in_edge(self, width: Decimal, height: Decimal) -> str:
        """Near where a hole would be: at it, at the clear distance from it, or anywhere."""
        chance = self.chance
        edge = chance.choice(["base", "right", "head", "left"])
        long = width if edge in ("base", "head") else height
        at = self.first + chance.randint(0, 4) * self.pitch
        at = at if edge in ("base", "right") else long - at
        off = chance.choice([D(0), D("0.5"), -D("0.5")])
        at += chance.choice([D(0), self.clear + off, -self.clear + off])
        if self.odds(0.2):  # next to the zone at a corner, or to the cast-in before
            at = self.last + 2 * self.clear if self.odds(0.5) else self.end_min + self.clear
            at = long - at if self.odds(0.3) else at
        if self.odds(0.3):
            at = self.between(0, long)
        if not 0 <= at <= long and not (self.fault and self.odds(0.5)):
            at = long / 2
        self.last = at
        return f'edge = "{edge}", at = {at}'
