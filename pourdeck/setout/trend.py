"""The straight line through values known each to its own standard deviation, and how sure its slope is.

Weighted least squares (Bevington and Robinson, Data Reduction and Error Analysis, chapter 6; from memory):
w = 1/σ², x̄ = Σwx/Σw, slope = Σw(x − x̄)y / Σw(x − x̄)², its variance 1/Σw(x − x̄)².
"""

from collections.abc import Sequence
from math import sqrt

from attrs import frozen

FAR = 2.0
NEAR = 1.0
"""So many times its own standard error a slope must be to be believed: for what is still far off, and for
the very next panel.
"""


@frozen(kw_only=True, eq=False, repr=False)
class Trend:
    """`each`: how much more with each panel, mm; `doubt`: the standard error of that; `start`: the line
    at 0. Drawn through `count` panels, the uppermost of them `last`.
    """

    start: float
    each: float
    doubt: float
    count: int
    last: int

    def at(self, number: int) -> float:
        """Where the line is at panel `number`, mm."""
        return self.start + self.each * number

    def holds(self, number: int) -> bool:
        """Whether the line may be drawn out to panel `number`, above the last one.

        A false alarm at every second job makes people stop reading, a late one costs a panel. The next
        panel cannot wait, and what the tapes may be out is small in one step beside any band: there NEAR
        does. Further off FAR is wanted, for one more panel will be measured before it matters; and no
        further than the line is long, because forms stand as unevenly as they do, and two panels that came
        out by a millimetre or two each would else foretell the top of the stack. Of jobs of eight panels,
        a band of 8 mm, σ 1 mm, forms placed to 1 mm, this warns of a side that does not drift once in
        eleven (once in two without those rules), of one that drifts by 2 mm with each panel always, and
        once in eight only when it has passed; a stricter FAR doubles that (tests/setout/test_trend.py).
        """
        ahead = number - self.last
        if not 1 <= ahead <= self.count:
            return False
        return abs(self.each) > (NEAR if ahead == 1 else FAR) * self.doubt


def trend(points: Sequence[tuple[int, float, float]]) -> Trend | None:
    """Through panel, value and standard deviation of each, mm, panels rising; None through fewer than two.

    The doubt is what the tapes may be out; where the values scatter more about the line than that, so much
    more. Two panels lie on any line: there only the tapes speak.
    """
    if len(points) < 2:
        return None
    weights = [1 / (spread * spread) for _, _, spread in points]
    middle = sum(w * x for w, (x, _, _) in zip(weights, points, strict=True)) / sum(weights)
    width = sum(w * (x - middle) ** 2 for w, (x, _, _) in zip(weights, points, strict=True))
    each = sum(w * (x - middle) * y for w, (x, y, _) in zip(weights, points, strict=True)) / width
    mean = sum(w * y for w, (_, y, _) in zip(weights, points, strict=True)) / sum(weights)
    start = mean - each * middle
    missed = sum(
        w * (y - start - each * x) ** 2 for w, (x, y, _) in zip(weights, points, strict=True)
    )
    free = len(points) - 2
    scatter = sqrt(missed / free) if free else 1.0
    return Trend(
        start=start,
        each=each,
        doubt=max(1.0, scatter) / sqrt(width),
        count=len(points),
        last=points[-1][0],
    )
