"""A screen over another one that is left once, however many keys are still on their way to it."""

from typing import TypeVar

from textual.await_complete import AwaitComplete
from textual.screen import ModalScreen

Result = TypeVar("Result")


class OnceScreen(ModalScreen[Result]):
    """A second Enter must neither do it again nor take the screen below along."""

    _left = False

    def dismiss(self, result: Result | None = None) -> AwaitComplete:
        if self._left:
            return AwaitComplete()
        self._left = True
        done: AwaitComplete = super().dismiss(result)
        return done
