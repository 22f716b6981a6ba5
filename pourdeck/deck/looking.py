"""Which look a widget is to be painted in."""

from textual.widget import Widget

from pourdeck.deck.theme import PLAIN, SHED, Look


def look_of(widget: Widget) -> Look:
    """The look of the app the widget is in; of another app, the one that has no colours or the dark one."""
    app = widget.app
    look = getattr(app, "look", None)
    if isinstance(look, Look):
        return look
    return PLAIN if app.native_ansi_color else SHED
