"""The desk: one job's plan and log, and everything that follows from them, kept up to date.

A shell round the pure functions: it reads plan and log, and saves each act before it is taken in. What
follows from them is in `site`.

Board and acts are imported when they are first asked for: a check of the plan needs none of them.
"""

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from attrs import evolve, frozen

from pourdeck.plan.messages import Finding, Refusal, literal
from pourdeck.plan.reader import read_job
from pourdeck.plan.records import Align, Job
from pourdeck.sitelog.clocks import LEAP, read_off
from pourdeck.sitelog.disk import DISK, Disk, reason
from pourdeck.sitelog.entries import Entry, station_words
from pourdeck.sitelog.known import log_findings
from pourdeck.sitelog.lock import Holder
from pourdeck.sitelog.logfile import LogFile, NotSaved
from pourdeck.sitelog.state import panel_of, replay, unknown_findings
from pourdeck.sitelog.union import Union
from pourdeck.walk.site import Site
from pourdeck.walk.words import count_of, zone_of

if TYPE_CHECKING:
    from pourdeck.setout.resize import Resize
    from pourdeck.sitelog.stations import Stations
    from pourdeck.walk.acts import Cancel
    from pourdeck.walk.authority import Word
    from pourdeck.walk.board import Board
    from pourdeck.walk.clock import Clocks, Jump
    from pourdeck.walk.records import Act


# What the desk says of the log.


def log_messages(union: Union, log: LogFile) -> list[str]:
    """List what people should be told of files other than the station's own, which `log` speaks of itself."""
    own = {scan.file for scan in log.scans}
    told = [str(fault) for fault in union.faults if fault.file not in own]
    told += [f"{file}: its last line is not all there yet." for file in not_whole(union, log)]
    told += [str(fault) for fault in union.faults if fault.code == "fork" and fault.file in own]
    told += [f"log/{one.name} is not read: {one.why}." for one in union.unread if one.wrong]
    return told


def not_whole(union: Union, log: LogFile) -> list[str]:
    """Files whose last line is not whole; the one written to was put right when it was opened."""
    if not union.waiting:
        return []
    repaired = () if log.read_only else tuple(scan.file for scan in log.scans)
    return [file for file in union.waiting if file not in repaired]


# What others have written since.


@frozen(kw_only=True, eq=False, repr=False)
class News:
    """`entries`: what others have written. `lost`: so many entries are in memory, and not in the folder.

    `taken_over`: this one writes now. `wrong`: why the folder cannot be read.
    """

    entries: tuple[Entry, ...] = ()
    lost: int = 0
    taken_over: bool = False
    wrong: str = ""


NO_NEWS = News()


def lost_words(lost: int) -> str:
    """`2 entries of the log are not in its folder any more`."""
    are = "is" if lost == 1 else "are"
    return f"{count_of(lost, 'entry', 'entries')} of the log {are} not in its folder any more"


LOST = (
    "This deck still has them. Leave it open, and put the file back, or write them to a file again: "
    "Log screen, w."
)


class Overtaken(NotSaved):
    """An act that may rest on what somebody else has just recorded."""

    def __init__(self, entries: Sequence[Entry]) -> None:
        last = entries[-1]
        panel = f" of {literal(last.panel)}" if last.panel else ""
        more = f", and {len(entries) - 1} more" if len(entries) > 1 else ""
        super().__init__(
            f"Not saved: {literal(last.by)} has just recorded something at "
            f"{literal(station_words(last.station))}",
            f"{last.kind.replace('-', ' ')}{panel}, no. {last.n}{more}. Look at what stands now, and do it "
            "again.",
        )


# The desk: one job's plan and log, and everything that follows from them, kept up to date.


class Desk(Site):
    """One job, open: its site, and the station's log that acts are saved in."""

    def __init__(self, plan: Job, log: LogFile, clock: Callable[[], datetime]) -> None:
        """Use `open`."""
        super().__init__(plan, replay(log.union.entries), clock)
        self.log = log
        self.lost = 0
        """So many entries are in memory, and were not in the folder when it was looked at last."""
        self._clocks: tuple[int, Clocks] | None = None
        self._union = log.union
        self._look_out(log.union)

    @classmethod
    def open(
        cls,
        folder: Path,
        *,
        station: str,
        clock: Callable[[], datetime],
        state_folder: Path,
        new_id: Callable[[], str] | None = None,
        read_only: bool = False,
        host: str = "",
        user: str = "",
        monotonic: Callable[[], float] | None = None,
        boot: str = "",
        disk: Disk = DISK,
    ) -> "Desk":
        """Read the plan and every station's log of a job's folder; `station`'s is the one written to.

        `clock` gives the time with its offset; `monotonic` and `boot` are as for `LogFile`. Raises
        JobUnreadable, JobFaulty, ValueError for an unfit station, OSError where the log folder is there and
        cannot be listed. `read_only` takes no lock and needs no log.
        """
        plan = read_job(folder)
        zone = zone_of(plan, None)

        def site_clock() -> datetime:
            return clock() if zone is None else clock().astimezone(zone)

        log = LogFile.open(
            plan.folder,
            station,
            job=plan.number,
            clock=site_clock,
            state_folder=state_folder,
            new_id=new_id,
            host=host,
            user=user,
            monotonic=monotonic,
            boot=boot,
            read_only=read_only,
            disk=disk,
        )
        return cls(plan, log, site_clock)

    def close(self) -> None:
        """Close the log and give back its lock."""
        self.log.close()

    @property
    def messages(self) -> tuple[str, ...]:
        """List what people should be told about the log, oldest first."""
        return (*self.log.messages, *log_messages(self._union, self.log))

    @property
    def read_only(self) -> bool:
        return self.log.read_only

    @property
    def holder(self) -> Holder | None:
        """Who has the station's log open, where that is why it is read only."""
        return self.log.holder

    @property
    def station(self) -> str:
        """The station as its entries name it: the file that is written to."""
        return Path(self.log.file).stem

    @property
    def head(self) -> tuple[int, str | None]:
        """Number and seal of the last entry saved in this station's log."""
        return self.log.n, self.log.head

    def findings(self) -> tuple[Finding, ...]:
        """Everything that is wrong with plan and log."""
        return (*super().findings(), *self.log_findings())

    def log_findings(self, stack_id: str | None = None) -> tuple[Finding, ...]:
        """Everything that is wrong with the log; with a stack also what is in conflict there."""
        union, waiting = self._union, not_whole(self._union, self.log)
        wrong = union.faults or self.log.gone or waiting or union.unread
        found = log_findings(union, self.log.gone, waiting) if wrong else []
        if self.lost:
            message = f"{lost_words(self.lost)}. {LOST}"
            found.append(Finding(code="log-lost", severity="error", message=message))
        stacks = [] if stack_id is None else [self.stack(stack_id)]
        found += unknown_findings(self.state)
        clocks = self.clocks()
        if clocks.found or clocks.now:
            from pourdeck.walk.clock import clock_findings

            found += clock_findings(clocks)
        return (*found, *self.conflict_findings(stacks))

    def damage(self) -> tuple[Finding, ...]:
        """Everything by which something of the log is lacking, unread or of no account."""
        return tuple(
            one
            for one in self.log_findings()
            if one.code != "clock" and (one.is_error or one.code == "log-unread")
        )

    def stations(self) -> "Stations":
        """Tell who writes to the job, by all that is in memory: what this deck wrote last counts as well."""
        from pourdeck.sitelog.stations import stations

        lines: dict[str, list[Entry]] = {}
        for entry in self.state.entries:
            lines.setdefault(entry.station, []).append(entry)
        union = evolve(self._union, lines=lines)
        return stations(union, self.log.gone, self.log.installation)

    def jumps(self) -> "tuple[Jump, ...]":
        """Where a clock was set back, this one since its last entry too."""
        clock = self.log.clock()
        if not clock:
            return super().jumps()
        from pourdeck.walk.clock import Jump, gone_back

        gone = gone_back(clock)
        if gone is None:
            return super().jumps()
        next_one = Jump(station=self.station, n=self.log.n + 1, by=gone, at=self.now())
        return (*super().jumps(), next_one)

    def clocks(self) -> "Clocks":
        """Tell how the clocks were set, that of this computer since its last entry too."""
        from pourdeck.walk.clock import Clocks, Doubt, doubts

        entries = self.state.entries
        if self._clocks is None or self._clocks[0] != len(entries):
            own = frozenset({each.chain for each in self.log.scans} | {self.station})
            found = tuple(doubts(entries, self.state.voided))
            self._clocks = (len(entries), Clocks(own=own, found=found))
        known, off = self._clocks[1], read_off(self.log.clock())
        if off is None or off[1] < LEAP:
            return known
        key = (self.station, self.log.n + 1)
        live = Doubt(key=key, order=len(entries), way=off[0], by=off[1], at=self.now())
        return evolve(known, now=live)

    def board(self) -> "Board":
        from pourdeck.walk.board import build_board

        return build_board(self)

    def follow(self) -> "News":
        """Look at the log folder, and take in what others have written there since."""
        try:
            if self.log.holder is not None and self.log.try_again():
                self._take_all(self.log.union)
                return News(taken_over=True)
            if not self.log.log_folder.changed():
                return News(lost=self.lost) if self.lost else NO_NEWS
            union = self.log.log_folder.read()
        except OSError as error:
            return News(wrong=f"the log folder cannot be read: {reason(error)}")
        held = {entry.seal for entry in self.state.entries}
        there = {entry.seal for entry in union.entries}
        self.lost = len(held - there)
        if self.lost:
            # What is in memory alone is worth more than what the folder has now.
            return News(lost=self.lost)
        new = tuple(entry for entry in union.entries if entry.seal not in held)
        self._take_all(union)
        return News(entries=new)

    def _take_all(self, union: Union) -> None:
        self._union = union
        self.state = replay(union.entries)
        self._jumps = None
        self._forget_all()
        self._look_out(union)

    def _look_out(self, union: Union) -> None:
        own = {each.chain for each in self.log.scans} | {self.station}
        entries = self.state.entries
        last = next((one for one in reversed(entries) if one.station in own), None)
        others = (one for one in entries if one.station not in own and not one.odd)
        fresh = (one.at for one in others if last is None or not last.had_seen(one))
        heads = (head for head in self.state.heads if head.station not in own)
        self.log.look_out_for(heads, max(fresh, default=None))

    def hold_out(self) -> str:
        """Write what this deck holds of its own file to a file again; its name. Raises NotSaved."""
        own = [entry for entry in self.state.entries if entry.station == self.station]
        return self.log.hold_out(own)

    def record(self, act: "Act") -> Entry:
        """Save an act, and take it in. Raises NotSaved, and then nothing has changed.

        Raises Overtaken where somebody else has just recorded something that it may rest on.
        """
        news = self.follow()
        if news.lost:
            raise NotSaved("Not saved: entries of the log are not in its folder any more", LOST)
        about = self._overtaken(act, news.entries)
        if about:
            raise Overtaken(about)
        entry = self.log.append(act.kind, act.by, act.data)
        # With the first act of a file its first line was saved too.
        for saved in self.log.fresh():
            self.take_in(saved)
        return entry

    def _overtaken(self, act: "Act", new: Iterable[Entry]) -> list[Entry]:
        """List the entries that came just now and that an act may rest on: of its stack, or of no panel."""
        mark = act.data.get("panel")
        here = self._stacks_of.get(mark) if isinstance(mark, str) else None
        found = []
        for entry in new:
            there = self._stacks_of.get(panel_of(self.state, entry) or "")
            if entry.kind != "start" and (not here or not there or here & there):
                found.append(entry)
        return found

    def undo(self, by: str, why: str = "") -> "Act | Refusal":
        from pourdeck.walk import acts

        # What a lift rests on is refused before a reason is asked for.
        told = acts.undo(self.state, by, self.station, why or "asked later", self.job)
        found = self._under_lifts(told)
        if isinstance(found, Refusal):
            return found
        return acts.undo(self.state, by, self.station, why, self.job)

    def redo(self, by: str) -> "Act | Refusal":
        from pourdeck.walk import acts

        return self._under_lifts(acts.redo(self.state, by, self.station))

    def _under_lifts(self, act: "Act | Refusal") -> "Act | Refusal":
        """An undo, unless a lift that was recorded rests on what it would take back."""
        if isinstance(act, Refusal) or not any(one.lifted for one in self.state.panels.values()):
            return act
        from pourdeck.walk.lift_history import undo_refused

        return undo_refused(self.job, self.state, act, self.now()) or act

    def resize(
        self,
        stack_id: str,
        number: int,
        *,
        width: Decimal | None = None,
        height: Decimal | None = None,
        thickness: Decimal | None = None,
        align: Align | None = None,
    ) -> "Resize | Refusal":
        """Work out a new size of panel `number`, mm; what is None stays as it is."""
        from pourdeck.setout.resize import resize

        stack = self.stack(stack_id)
        deciding = bool(self.sizes_in_conflict(stack.panels[number - 1].mark))
        return resize(
            self.job, stack, number, self.poured(),
            width=width, height=height, thickness=thickness, align=align, deciding=deciding,
        )  # fmt: skip

    def cancels(self, change: "Resize") -> "tuple[Cancel, ...]":
        """The releases in force that a size change takes back: of the panel, and of those above it."""
        from pourdeck.walk.acts import releases_in_force

        found: list[Cancel] = []
        if not change.changes_anything:
            return ()
        for number in range(change.number, change.levels[-1].number + 1):
            record = self.state.panels.get(self.stack(change.stack).panels[number - 1].mark)
            if record is not None and record.releases and record.pour_start is None:
                found += releases_in_force(self.walk(change.stack, number))
        return tuple(found)

    def revise(
        self, change: "Resize", *, by: str, reason: str, word: "Word | None" = None
    ) -> "Act | Refusal":
        """The act that records a size change, on the word of somebody the job knows."""
        from pourdeck.walk import acts

        settles = self.sizes_in_conflict(change.mark)
        return acts.revise(
            self.job, change, self.cancels(change), reason, by, word=word, settles=settles
        )

    def sizes_in_conflict(self, mark: str) -> tuple[Entry, ...]:
        """Size changes of a panel by stations that had not seen each other's."""
        return self.state.panel(mark).conflicts.get(("size", ""), ())
