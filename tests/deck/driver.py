"""Keys and clicks into a running deck, as a terminal sends them, and waiting for what they do.

No clock is asked: everything is done when no part of the deck has a message left, and all is painted. This is
the one place beside `kit` that reaches into the toolkit.
"""

import asyncio
from collections.abc import Iterator
from typing import Any
from weakref import WeakSet

from textual import events
from textual._compositor import Compositor
from textual.app import App
from textual.geometry import Size
from textual.keys import _character_to_key
from textual.message_pump import MessagePump
from textual.widget import Widget

from pourdeck.deck.shell import Shell

CALM = 1
MOST = 20_000


def _pumps(app: App[Any]) -> Iterator[MessagePump]:
    yield app
    for screen in app.screen_stack:
        yield from screen.walk_children(with_self=True)


def _busy(app: App[Any]) -> bool:
    return any(not pump._message_queue.empty() or pump._next_callbacks for pump in _pumps(app))


def _paint(app: App[Any]) -> bool:
    """Lay out and paint what waits for the next tick; False where nothing did."""
    if app._resize_event is not None:
        app._check_resize()
        return True
    screen = app.screen
    waits = bool(
        screen._layout_required
        or screen._scroll_required
        or screen._repaint_required
        or screen._dirty_widgets
        or screen._callbacks
    )
    if waits:
        screen._on_timer_update()
    return waits


def _typed_ahead(app: App[Any]) -> bool:
    return isinstance(app, Shell) and (app.typing or app._unpainted is app.screen)


_whole_paint = Compositor.render_full_update
_unpainted: WeakSet[Compositor] = WeakSet()


def leave_unpainted(compositor: Compositor) -> None:
    """Stands in for painting a part of a screen: `kit.lines` does it when somebody looks."""
    compositor._dirty_regions.clear()


def paint_at_rest(compositor: Compositor, simplify: bool = False) -> None:
    """Stands in for painting a whole screen: that is done once it has come to rest."""
    compositor._dirty_regions.clear()
    _unpainted.add(compositor)


async def settle(app: App[Any]) -> None:
    """Until nothing is left to be done or painted."""
    ready = asyncio.get_running_loop()._ready  # type: ignore[attr-defined]
    calm = 0
    for _ in range(MOST):
        await asyncio.sleep(0)
        if app._exception is not None:
            raise app._exception
        if not app.is_running:
            return
        if ready:
            continue
        if _paint(app) or _busy(app) or _typed_ahead(app):
            calm = 0
            continue
        calm += 1
        if calm > CALM:
            compositor = app.screen._compositor
            if compositor in _unpainted:
                _unpainted.discard(compositor)
                _whole_paint(compositor)
            return
    raise AssertionError("the deck does not come to rest")


async def press(app: App[Any], *keys: str) -> None:
    """Keys by the toolkit's names, characters as they are."""
    for key in keys:
        character = key if len(key) == 1 else {"space": " "}.get(key)
        name = _character_to_key(key) if len(key) == 1 else key
        app.post_message(events.Key(name, character))
        await settle(app)


async def write(app: App[Any], text: str) -> None:
    await press(app, *text)


def mouse(kind: type[events.MouseEvent], x: int, y: int, button: int = 1) -> events.MouseEvent:
    return kind(
        widget=None, x=x, y=y, delta_x=0, delta_y=0, button=button, shift=False, meta=False, ctrl=False,
        screen_x=x, screen_y=y,
    )  # fmt: skip


async def click(app: App[Any], widget: Widget, x: int, y: int) -> None:
    """A click in the content of a widget. Raises AssertionError where something else is on top there."""
    region = widget.content_region
    assert 0 <= x < region.width, (widget, x, region)
    assert 0 <= y < region.height, (widget, y, region)
    at = (region.x + x, region.y + y)
    top, _ = app.screen.get_widget_at(*at)
    assert top is widget, f"{top} is on top of {widget}"
    await click_at(app, *at)


async def click_at(app: App[Any], x: int, y: int) -> None:
    for kind in (events.MouseDown, events.MouseUp):
        app.post_message(mouse(kind, x, y))
        await settle(app)


async def click_in(
    app: App[Any], wanted: str | type[Widget], offset: tuple[int, int] | None = None
) -> None:
    """A click in the region of a widget, found by its selector or type; without an offset in its middle."""
    region = app.screen.query_one(wanted).region
    x, y = offset or (region.width // 2, region.height // 2)
    await click_at(app, region.x + x, region.y + y)


async def resize(app: App[Any], width: int, height: int) -> None:
    """The window gets another size."""
    size = Size(width, height)
    app._driver._size = size  # type: ignore[union-attr]
    app.post_message(events.Resize(size, size))
    await settle(app)


async def scroll(app: App[Any], widget: Widget, *, down: bool) -> None:
    region = widget.content_region
    kind = events.MouseScrollDown if down else events.MouseScrollUp
    app.post_message(mouse(kind, region.x, region.y, button=0))
    await settle(app)
