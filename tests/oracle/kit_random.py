"""A random kit: depths, holes, anchor rules, bolts with overlaps and gaps, stock that may not do."""

from decimal import Decimal
from random import Random

D = Decimal


class KitWriter:
    """Writes `[kit]` and keeps what the panels must know of it."""

    chance: Random

    def odds(self, share: float) -> bool:
        return self.chance.random() < share

    def kit(self) -> list[str]:
        chance = self.chance
        self.depths = chance.sample([D(100), D(125), D(150), D("139.7"), D(175), D(200)], 3)
        self.end_min = chance.choice([D(150), D(150), D(100), D("152.4"), D("75.5"), D(300), D(0)])
        end_max = max(D(20), self.end_min + chance.choice([0, 200, 350, 600, 850, 1100]))
        gap_max = chance.choice(["1500", "1200", "1000", "900.5", "2000", "650"])
        self.clear = chance.choice([D(150), D(150), D(100), D("75.5"), D(250), D(10), D(0)])
        self.first = chance.choice(
            [D(500), D(500), D(300), D("304.8"), D(150), D("450.5"), D(900), D(0)]
        )
        self.pitch = chance.choice([D(1000), D(1000), D(600), D("609.6"), D(1250), D("750.5")])
        low = chance.choice([0, 0, 0, 50, 100])
        over = chance.choice([1000, 1000, 500, 300, 914.4, 100, 0])
        self.bands = self.bolts()
        bolts = ", ".join(f'{{ name = "b{n}", reach = [{a}, {b}] }}' for n, (a, b) in self.bands)
        lines = [
            "[kit]",
            f"depths = [{', '.join(map(str, self.depths))}]",
            f"chamfer = {chance.choice(['15', '15', '10', '19.05', '12.5', '0', '20'])}",
            f"holes = {{ first = {self.first}, pitch = {self.pitch} }}",
            f"anchors = {{ end_min = {self.end_min}, end_max = {end_max}, "
            f"gap_max = {gap_max}, clear = {self.clear} }}",
            f"overrun = {{ min = {low}, max = {low + over} }}",
            f"stock = [{', '.join(self.stock())}]",
        ]
        if self.odds(0.6):
            lines.append(f"brackets = {chance.choice([4, 12, 20, 24, 30, 60])}")
        return [*lines, f"bolts = [{bolts}]"]

    def bolts(self) -> list[tuple[int, tuple[Decimal, Decimal]]]:
        chance = self.chance
        shape = chance.choice(["two", "three", "gap", "late", "one", "any"])
        bands = {
            "two": [(0, 160), (140, 300)],
            "three": [(0, 100), (90, 200), (180, 320)],
            "gap": [(0, 80), (120, 200), (D("260.5"), 300)],
            "late": [(20, 150), (100, 250)],
            "one": [(0, 200)],
            "any": [],
        }[shape]
        if shape == "any":
            for _ in range(chance.randint(1, 4)):
                low = chance.choice([-5, 0, 10, 50]) + D(chance.randint(0, 400)) / 2
                bands.append((low, low + D(chance.randint(0, 300)) / 2))
        if self.odds(0.2):
            chance.shuffle(bands)
        return [(n, (D(a), D(b))) for n, (a, b) in enumerate(bands)]

    def stock(self) -> list[str]:
        chance = self.chance
        sets = [
            [(1000, 12), (3000, 16)],
            [(600, 8), (1200, 8), (2400, 12), (3600, 8)],
            [(D("609.6"), 8), (D("1219.2"), 12), (D("2438.4"), 12), (D("3657.6"), 8)],
            [(500, 6), (750, 6), (D("1250.5"), 9), (2950, 10)],
            [(3000, 4)],
            [(900, 40)],
            [(2700, 5), (1800, 6), (1100, 5), (1300, 4), (700, 3)],
        ]
        found = []
        for length, count in chance.choice(sets):
            depth = f", depth = {chance.choice(self.depths)}" if self.odds(0.15) else ""
            count = count if self.odds(0.75) else max(0, count - chance.randint(1, 8))
            found.append(f"{{ length = {length}, count = {count}{depth} }}")
        if self.odds(0.15):
            found.append(f"{{ length = 1500, count = 4, depth = {chance.choice(self.depths)} }}")
        return found
