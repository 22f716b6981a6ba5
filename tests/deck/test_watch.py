"""Keys before any widget has them."""

import pytest
from attrs import define
from textual import events

from pourdeck.deck.shell import BOUNCE_SECONDS, IDLE_SECONDS, Watch


@define
class Seconds:
    now: float = 100.0

    def __call__(self) -> float:
        return self.now


def key(name: str) -> events.Key:
    return events.Key(name, name if len(name) == 1 else None)


def press(kind: type[events.MouseEvent]) -> events.MouseEvent:
    return kind(
        widget=None, x=1, y=1, delta_x=0, delta_y=0, button=1, shift=False, meta=False, ctrl=False
    )


def test_a_key_after_a_pause_only_wakes() -> None:
    watch = Watch(seconds := Seconds())

    assert watch.judge(key("a"), seconds.now, cramped=False) == "pass"
    seconds.now += IDLE_SECONDS + 1
    assert watch.judge(key("a"), seconds.now, cramped=False) == "wake"
    assert watch.judge(key("a"), seconds.now, cramped=False) == "pass"


def test_ten_minutes_to_the_second_are_no_pause_yet() -> None:
    watch = Watch(seconds := Seconds())
    seconds.now += IDLE_SECONDS

    assert watch.judge(key("a"), seconds.now, cramped=False) == "pass"


def test_a_click_after_a_pause_only_wakes_and_does_not_end_as_a_click() -> None:
    watch = Watch(seconds := Seconds())
    seconds.now += IDLE_SECONDS + 1

    assert watch.judge(press(events.MouseDown), seconds.now, cramped=False) == "wake"
    assert watch.judge(press(events.MouseUp), seconds.now, cramped=False) == "drop"
    assert watch.judge(press(events.MouseDown), seconds.now, cramped=False) == "pass"
    assert watch.judge(press(events.MouseUp), seconds.now, cramped=False) == "pass"


def test_what_is_pasted_after_a_pause_only_wakes() -> None:
    watch = Watch(seconds := Seconds())
    seconds.now += IDLE_SECONDS + 1

    assert watch.judge(events.Paste("300"), seconds.now, cramped=False) == "wake"


@pytest.mark.parametrize("name", ["f10", "ctrl+q"])
def test_leaving_always_works(name: str) -> None:
    watch = Watch(seconds := Seconds())
    seconds.now += IDLE_SECONDS + 1

    assert watch.judge(key(name), seconds.now, cramped=True) == "pass"


def test_nothing_is_typed_blind_in_a_window_too_small() -> None:
    watch = Watch(Seconds())

    assert watch.judge(key("5"), 100.0, cramped=True) == "drop"
    assert watch.judge(press(events.MouseDown), 100.0, cramped=True) == "drop"


@pytest.mark.parametrize("name", ["enter", "space"])
def test_a_key_that_bounced_is_no_second_act(name: str) -> None:
    watch = Watch(seconds := Seconds())
    watch.saved()
    seconds.now += BOUNCE_SECONDS / 2

    assert watch.judge(key(name), seconds.now, cramped=False) == "drop"
    assert watch.judge(key("5"), seconds.now, cramped=False) == "pass"
    seconds.now += BOUNCE_SECONDS
    assert watch.judge(key(name), seconds.now, cramped=False) == "pass"
