"""The one way from what people typed to a widget: shown as it stands, never read as markup."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pourdeck.plan.messages import literal

if TYPE_CHECKING:
    from rich.text import Text


def text(value: str, style: str = "") -> Text:
    """A Rich text that shows `value` literally, for what takes Rich renderables."""
    from rich.text import Text

    return Text(literal(value), style=style, end="")
