"""Print how far panels came out from their planned lines, as a table of a page."""

from collections.abc import Sequence

from rich.console import Console

from pourdeck.paper.console import say, table
from pourdeck.paper.drift_words import NOT_TAPED, SHARED
from pourdeck.plan.records import SIDES, Units


def drift_unit(units: Units) -> str:
    """Give the end of the table's heading: the unit, and which way is minus."""
    unit = "mm" if units == "metric" else 'to 1/16"'
    return f", {unit}, in is minus"


def drift_table(console: Console, places: Sequence[str], rows: Sequence[tuple[str, ...]]) -> None:
    """Rows of places, the four sides, growth and lean; then what the signs mean that are in them."""
    leans = any(row[-1] for row in rows)
    heads = (*places, *(f">{side}" for side in SIDES), "grown", *(["leans"] if leans else []))
    table(console, heads, rows if leans else [row[:-1] for row in rows])
    shown = [cell for row in rows for cell in row[len(places) : len(places) + len(SIDES)]]
    if any(cell.endswith(SHARED) for cell in shown):
        say(console, f"{SHARED} its place was not taped: taken as grown alike on both sides")
    if NOT_TAPED in shown:
        say(console, f"{NOT_TAPED} not taped")
