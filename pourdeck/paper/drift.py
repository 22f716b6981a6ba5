"""Say how far measured panels are out from their planned lines, and print it as a table of a page."""

from collections.abc import Sequence
from decimal import Decimal
from typing import TYPE_CHECKING

from pourdeck.plan.lengths import format_out
from pourdeck.plan.records import SIDES, Units
from pourdeck.setout.drift import ACROSS, LEANS, Drift, Face, Name, read

if TYPE_CHECKING:
    from rich.console import Console

NOT_TAPED = "–"
"""Of a side that nothing taped tells of; the page says so under the table."""

SHARED = "?"


def _signed(mm: Decimal, units: Units) -> str:
    """With the minus that the rest of a page has."""
    return format_out(mm, units).replace("−", "-")


def out_words(drift: Drift, units: Units, *, ends: bool = False) -> tuple[str, ...]:
    """Of each side: `+3`, with `ends` `+3/+7` where they differ, `+3?` where its place was not taped."""
    faces = (drift.faces[side] for side in SIDES)
    return tuple(_face(face, units, ends=ends) if face else NOT_TAPED for face in faces)


def _face(face: Face, units: Units, *, ends: bool) -> str:
    both = [one for one in face.out.ends if one is not None]
    values = both if ends and face.out.uneven else [face.out.value]
    shown = "/".join(_signed(read(one), units) for one in values)
    return shown + SHARED if face.shared else shown


def size_words(drift: Drift, units: Units) -> tuple[str, str]:
    """Growth, `+6 × ?`, and lean, `18 to the right`, as far as they are told."""
    grown = [drift.growth[name] for name in ACROSS]
    if not any(grown):
        return "", _leans(drift, units)
    told = (_signed(read(one.value), units) if one else "?" for one in grown)
    return " × ".join(told), _leans(drift, units)


def _leans(drift: Drift, units: Units) -> str:
    said = [
        lean_words(name, read(lean), units)
        for name in ACROSS
        if (lean := drift.lean(name)) is not None
    ]
    return ", ".join(said)


def lean_words(name: Name, lean: Decimal, units: Units) -> str:
    """`18 to the right`, `0 to the left or right` where it does not lean."""
    shown = _signed(abs(lean), units).lstrip("+")
    if not lean or shown == _signed(Decimal(0), units):
        return f"{shown} in {name}"
    return f"{shown} {LEANS[name][0 if lean > 0 else 1]}"


def drift_unit(units: Units) -> str:
    """Give the end of the table's heading: the unit, and which way is minus."""
    unit = "mm" if units == "metric" else 'to 1/16"'
    return f", {unit}, in is minus"


def drift_table(console: "Console", places: Sequence[str], rows: Sequence[tuple[str, ...]]) -> None:
    """Rows of places, the four sides, growth and lean; then what the signs mean that are in them."""
    from pourdeck.paper.console import say, table

    leans = any(row[-1] for row in rows)
    heads = (*places, *(f">{side}" for side in SIDES), "grown", *(["leans"] if leans else []))
    table(console, heads, rows if leans else [row[:-1] for row in rows])
    shown = [cell for row in rows for cell in row[len(places) : len(places) + len(SIDES)]]
    if any(cell.endswith(SHARED) for cell in shown):
        say(console, f"{SHARED} its place was not taped: taken as grown alike on both sides")
    if NOT_TAPED in shown:
        say(console, f"{NOT_TAPED} not taped")
