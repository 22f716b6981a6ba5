"""The log: what was done, newest first, or who writes to the job, and whether the files are whole."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal

from pourdeck.deck.actions import bindings
from pourdeck.deck.choice_dialog import ChoiceDialog, TellDialog
from pourdeck.deck.desk_shell import SHORT_SEAL, not_saved
from pourdeck.deck.paint import Spans, line
from pourdeck.deck.screens.base import DeckScreen
from pourdeck.deck.views.log import (
    OLDER,
    PAGE,
    backup_words,
    entry_lines,
    entry_rows,
    fault_lines,
    find_entry,
    marks,
    station_lines,
    station_rows,
)
from pourdeck.deck.widgets.frame import Said
from pourdeck.deck.widgets.prose import Prose
from pourdeck.deck.widgets.row_list import Row, RowList
from pourdeck.plan.messages import Finding
from pourdeck.sitelog.known import log_findings
from pourdeck.sitelog.logfile import NotSaved
from pourdeck.sitelog.stations import Stations
from pourdeck.sitelog.verify import LogReport, verify

_ALL = "all"


class LogScreen(DeckScreen):
    """Entries or stations at the left (above, in a narrow window), all of the marked one beside them."""

    ID = "log"
    BINDINGS: ClassVar[list[BindingType]] = [*bindings("log")]
    DEFAULT_CSS = """
    LogScreen #head { height: auto; max-height: 3; }
    LogScreen #both { layout: vertical; height: 1fr; }
    LogScreen #entries { height: 1fr; }
    LogScreen #entry { height: 8; border-top: solid $deck-rule; }
    LogScreen.-ascii #entry { border-top: ascii $deck-rule; }
    LogScreen.-stations #entries { height: 5; }
    LogScreen.-stations #entry { height: 1fr; }
    LogScreen.-wide #both { layout: horizontal; }
    LogScreen.-wide #entries { height: 1fr; }
    LogScreen.-wide #entry { width: 48; height: 1fr; border-top: none; border-left: solid $deck-rule; }
    LogScreen.-wide.-ascii #entry { border-left: ascii $deck-rule; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.panel: str | None = None
        self.most = PAGE
        self.report: LogReport | None = None
        self.unread = ""
        self._stations: Stations | None = None

    def compose_body(self) -> ComposeResult:
        self.set_class(self.deck.ascii_only, "-ascii")
        yield Prose(id="head")
        with Horizontal(id="both"):
            yield RowList(id="entries", empty="Nothing is recorded yet.")
            yield RowList(id="entry")

    def on_mount(self) -> None:
        self.set_focus(self.query_one("#entries"))

    def on_screen_resume(self) -> None:
        self._verify()
        super().on_screen_resume()

    def _verify(self) -> None:
        """Read the files again: what is said of them is what is on disk now."""
        try:
            self.report = verify(self.deck.desk.plan.folder, known=self.deck.desk.log.known_ends)
            self.unread = ""
        except OSError as error:
            self.report = None
            missing = isinstance(error, FileNotFoundError)
            self.unread = "" if missing else f"The log cannot be read: {error.strerror}."

    def reload(self) -> None:
        shown = self.deck.stations_shown
        self.set_class(shown, "-stations")
        self._stations = self.deck.desk.stations() if shown else None
        rows = station_rows(self._stations) if self._stations else self._entry_rows()
        self.query_one("#entries", RowList).set_rows(rows)
        self.query_one("#head", Prose).show(self._head())
        self._show_entry()

    def _entry_rows(self) -> tuple[Row, ...]:
        state = self.deck.desk.state
        return entry_rows(
            state.entries,
            state.voided,
            panel=self.panel,
            most=self.most,
            units=self.deck.desk.job.units,
            find=state.find,
            several=len(state.heads) > 1,
        )

    def _head(self) -> list[Spans]:
        """Whole or not, how many files and entries, and the head to note elsewhere."""
        last = self.deck.desk.state.last
        faults = self._faults()
        if self.unread:
            state = line((f" ✗ {self.unread}", "error"))
        elif faults:
            state = line((f" ✗ {len(faults)} faults in the files, v lists them", "error"))
        else:
            state = line((" ✓ whole", "done"))
        files = len(self.report.stations) if self.report else 0
        count = len(self.report.union.entries) if self.report else 0
        words = f"  {count} entries in {files} file{'' if files == 1 else 's'}"
        head = f"  head no. {last.n}, {last.seal[:SHORT_SEAL]}" if last else "  no head yet"
        only = line(("  only ", "warning"), (self.panel, "strong")) if self.panel else ()
        other = "entries" if self.deck.stations_shown else "stations"
        keys = line((f"  j {other}", "key"))
        return [(*state, *line(words, head), *only, *keys), *self._backup()]

    def _backup(self) -> list[Spans]:
        """When the last backup was, and how much came since."""
        backups = self.deck.backups
        if backups is None:
            return []
        desk, last = self.deck.desk, backups.last
        words = backup_words(last.at, last.since(desk.state.heads), desk.now())
        return [line((f"   {words}", "text" if last.at else "warning"))]

    def _faults(self) -> list[Finding]:
        """List what is wrong with the files as they are now, and what else the deck knows to be wrong."""
        report = self.report
        found = log_findings(report.union, report.gone, report.union.waiting) if report else []
        return [*found, *(one for one in self.deck.desk.log_findings() if one not in found)]

    def _show_entry(self) -> None:
        state = self.deck.desk.state
        key = self.query_one("#entries", RowList).key
        detail = self.query_one("#entry", RowList)
        if self._stations is not None:
            detail.set_rows(station_lines(self._stations, key))
            detail.top = 0
            return
        entry = find_entry(state.entries, key) if key and key != OLDER else None
        units = self.deck.desk.job.units
        rows = (
            entry_lines(entry, state.voided.get(entry.key), units=units, find=state.find)
            if entry
            else ()
        )
        detail.set_rows(rows)
        detail.top = 0

    def on_row_list_selected(self, event: RowList.Selected) -> None:
        event.stop()
        if event.row_list.id == "entries":
            self._show_entry()

    def on_row_list_chosen(self, event: RowList.Chosen) -> None:
        """Enter on an entry opens what it is about; on the last row, older entries."""
        event.stop()
        if self._stations is not None:
            return
        if event.key == OLDER:
            self.most += PAGE
            self.reload()
            return
        entry = find_entry(self.deck.desk.state.entries, event.key)
        place = self._place(entry.panel) if entry and entry.panel else None
        if entry is not None and place is not None:
            item = entry.data.get("item")
            self.deck.go(
                "walk", stack=place[0], panel=place[1], item=item if isinstance(item, str) else None
            )

    def _place(self, mark: str) -> tuple[str, int] | None:
        for stack in self.deck.desk.job.stacks:
            for number, panel in enumerate(stack.panels, 1):
                if panel.mark == mark:
                    return stack.id, number
        return None

    def action_filter_panel(self) -> None:
        found = marks(self.deck.desk.state.entries)
        rows = (
            Row(key=_ALL, left=line(("All panels", "strong"))),
            *(Row(key=f"mark:{index}", left=line(mark)) for index, mark in enumerate(found)),
        )

        def take(key: str | None) -> None:
            if key is not None:
                self._only(None if key == _ALL else found[int(key.partition(":")[2])])

        select = f"mark:{found.index(self.panel)}" if self.panel in found else None
        self.app.push_screen(
            ChoiceDialog("Entries of which panel?", rows, select=select, verb="Show"), take
        )

    def action_filter_none(self) -> None:
        self._only(None)

    def _only(self, panel: str | None) -> None:
        self.panel, self.most = panel, PAGE
        self.reload()
        self.set_focus(self.query_one("#entries"))

    def action_log_faults(self) -> None:
        self._verify()
        self.reload()
        files = [
            f"{one.file}: {one.entries} entries, head {one.head or 'none'}"
            for one in (self.report.stations if self.report else ())
        ]
        self.app.push_screen(
            TellDialog("The files of the log", fault_lines(self._faults(), files), self.unread)
        )

    def action_hold_out(self) -> None:
        """Write what is in memory alone to a file, and go on there."""
        try:
            name = self.deck.desk.hold_out()
        except NotSaved as error:
            self.deck.say(not_saved(error.title, error.body))
            return
        self.deck.follow()
        self._verify()
        self.reload()
        body = "The log goes on in a file after it."
        self.deck.say(Said("saved", f"All that this deck held is in {name}", body))

    def can_do(self, action_id: str) -> bool:
        if action_id == "hold-out":
            return self.deck.desk.lost > 0
        if action_id == "filter-panel":
            return not self.deck.stations_shown
        return action_id != "filter-none" or self.panel is not None
