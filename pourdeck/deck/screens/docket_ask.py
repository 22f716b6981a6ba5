"""Reading a docket into the pour: its number, its mix against the one ordered, its volume and its times."""

from collections.abc import Mapping

from pourdeck.deck.ask_dialog import Ask, AskDialog
from pourdeck.deck.screens.pour_ask import PourAsk
from pourdeck.deck.views.ready_words import CORRECTING
from pourdeck.plan.amounts import unit_read
from pourdeck.plan.literal import literal
from pourdeck.plan.refusal import Refusal
from pourdeck.walk.load_acts import write_load
from pourdeck.walk.load_lines import LoadLine
from pourdeck.walk.people import folded
from pourdeck.walk.records import Act, Walk

UNREAD, AS_ORDERED, OTHER = "unread", "ordered", "other"


def one_mix(values: Mapping[str, str], ordered: str) -> str | None:
    """Why the mix of a docket cannot be taken: two are named, or none where another was said to be."""
    picked, other = values["mix"], values["other"]
    if picked == AS_ORDERED and other and folded(other) != folded(ordered):
        return f"Two mixes: {ordered} as ordered, and {literal(other)}. Turn the one above, or take this out."
    if picked == OTHER and not other:
        return "Write the mix that the docket names."
    return None


class DocketAsk(PourAsk):
    """A dialog for what is read before anything comes out of the truck."""

    def ask(self, number: int) -> None:
        """What is read off a docket: of a new load all of it, of one that is there what it has of it."""
        standing = self.standing()
        if standing is None:
            return
        walk, page = standing
        one = page.line(number)
        asks = self._asks(walk, one)
        body = "Read it before anything comes out of the truck."
        if walk.job.mix.name:
            body += f" Ordered: {walk.job.mix.name}."
        draft = self.screen.draft(f"docket-{number}")
        dialog = AskDialog(f"Load {number}: its docket", asks, body, draft=draft)

        def take(values: dict[str, str], by: str) -> None:
            def make(why: str) -> Act | Refusal:
                typed, now = self._typed(walk, values), self.screen.deck.desk.now()
                why = why or values.get("why", "")
                act = write_load(walk, number, typed, by, now, why, jumps=self.jumps)
                if isinstance(act, Refusal):
                    self._keep(number, values)
                return act

            self.record_with_reason(make, lambda: self.screen.go_on(number))

        self.push(dialog, take)

    def _asks(self, walk: Walk, one: LoadLine | None) -> tuple[Ask, ...]:
        load = one.load if one else None
        mix = walk.job.mix.name
        docket = (load.docket or "") if load else ""
        asks = [Ask(id="docket", label="Docket", value=docket, check=self.fault("docket"))]
        if mix is None:
            asks.append(
                Ask(id="other", label="Mix", required=False, check=self.fault("mix"),
                    value=(load.mix or "") if load else "")
            )  # fmt: skip
        else:
            stands = UNREAD
            if one is not None and one.load.mix is not None:
                stands = OTHER if one.wrong else AS_ORDERED
            choices = (
                (UNREAD, "not read yet"),
                (AS_ORDERED, f"{mix}, as ordered"),
                (OTHER, "another: write it below"),
            )
            asks.append(Ask(id="mix", label="Mix on it", value=stands, choices=choices))
            other = (one.load.mix or "") if one is not None and one.wrong else ""
            asks.append(
                Ask(id="other", label="Another mix", required=False, value=other,
                    check=self.fault("mix"), beside=lambda values: one_mix(values, mix))
            )  # fmt: skip
        if one is None:
            asks += [
                Ask(id="batched", label="Batched at", required=False, check=self.fault("batched")),
                Ask(id="volume", label=f"Volume, {unit_read('m³', walk.job.units)}", required=False,
                    check=self.fault("volume")),
                Ask(id="arrived", label="Arrived at", required=False, check=self.fault("arrived")),
            ]  # fmt: skip
        if load is not None and (load.docket is not None or load.mix is not None):
            asks.append(Ask(id="why", label="Why it changes", required=False, ready=CORRECTING))
        return tuple(asks)

    def _typed(self, walk: Walk, values: Mapping[str, str]) -> dict[str, str]:
        """What was written in the dialog, by the keys of a load."""
        typed = {
            key: values[key]
            for key in ("docket", "batched", "volume", "arrived")
            if values.get(key)
        }
        if values.get("mix") == AS_ORDERED and walk.job.mix.name:
            typed["mix"] = walk.job.mix.name
        elif values.get("other"):
            typed["mix"] = values["other"]
        return typed

    def _keep(self, number: int, values: Mapping[str, str]) -> None:
        """What was refused is there again when the docket is asked for again."""
        for key, text in values.items():
            if key != "why":
                self.screen.deck.keep_text(self.screen.draft(f"docket-{number}.{key}"), text)
