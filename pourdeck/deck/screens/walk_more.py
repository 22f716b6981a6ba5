"""What the walk shows over itself: the sum of an item, and all there is to read of it."""

from pourdeck.deck.choice_dialog import TellDialog
from pourdeck.deck.screens.walk_place import WalkPlace
from pourdeck.deck.views.item_sum import item_sum
from pourdeck.deck.views.read_all import read_all_rows
from pourdeck.deck.views.sum_lines import sum_lines
from pourdeck.deck.views.walk_card import blind
from pourdeck.deck.widgets.banner import Said
from pourdeck.walk.pour_findings import weather_words

SUM_WIDTH = 68


def show_sum(screen: WalkPlace) -> None:
    """Open the sum behind what the item expects."""
    walk, item = screen.walk, screen.item
    if walk is None or item is None or blind(item):
        words = "It is shown once it is read off the drawing" if item else "No item is in hand"
        screen.deck.say(Said("note", "There is no sum to open yet", f"{words}."))
        return
    opened = item_sum(walk, item)
    if opened is None:
        screen.deck.say(Said("note", "There is no sum behind this item", "It is seen or written."))
        return
    rows = sum_lines(opened, walk.job.units, SUM_WIDTH)
    screen.app.push_screen(TellDialog("The sum", tuple(rows)))


def read_all(screen: WalkPlace) -> None:
    """Everything about the stop in hand, uncut."""
    walk, stop = screen.walk, screen.stop
    if walk is not None and stop is not None:
        desk = screen.deck.desk
        rows = read_all_rows(walk, stop, weather_words(walk, desk.now(), desk.jumps()))
        screen.app.push_screen(TellDialog("All there is to read here", tuple(rows)))
