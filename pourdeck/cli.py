"""The commands: their words, and how each ends. What they do is in `pourdeck.commands`.

Exit codes: 0 done and nothing wrong, 1 done and what was asked about has errors, 2 could not be done;
128 and the number of the signal that ended it, as shells say it.
"""

import argparse
import gc
import os
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import NoReturn

from pourdeck import __version__
from pourdeck.commands.outcome import COULD_NOT, CannotDoError, prepare, say_why

ENDING = """\
exit codes: 0 done and nothing wrong; 1 done, and what was asked about has errors;
2 could not be done (one message on standard error)

lengths: 7200   7200 mm   7.2 m   23' 7-1/2"   283.5in
a bare number is millimetres, in an imperial job inches"""


class Words(argparse.ArgumentParser):
    """Takes words only as they are written in full, and says in one message what is wrong with them."""

    def __init__(self, prog: str, description: str) -> None:
        super().__init__(
            prog=prog,
            description=description,
            epilog=ENDING,
            formatter_class=argparse.RawDescriptionHelpFormatter,
            allow_abbrev=False,
        )

    def error(self, message: str) -> NoReturn:
        raise CannotDoError(f"{message}.", f"See: {self.prog} --help")


def panel_number(text: str) -> int:
    """The number of a panel, as typed."""
    plain = text.strip()
    if not (plain.isascii() and plain.removeprefix("-").isdigit() and len(plain) < 10):
        raise argparse.ArgumentTypeError(
            f"{text[:40]!r} is no panel number; it is 1 for the panel on the bed, 2 for the next"
        )
    return int(plain)


COMMANDS = {
    "open": "open the deck on a job",
    "demo": "copy the example job and open it",
    "check": "read plan and log, list what is wrong",
    "board": "show where every stack stands",
    "setout": "show the set-out of a panel",
    "shrink": "show what a size change does; with --apply record it",
    "ascast": "record as-cast measurements of a poured panel",
    "levels": "show the level book of a panel",
    "pour": "show concrete to order, what is placed, what is left",
    "weather": "show how fast fresh concrete dries out",
    "strength": "show how strong a panel is, and what its climb and its lift wait for",
    "lifting": "show mass, centre of gravity and lifters of a panel, and what its lift waits for",
    "stations": "show who writes to the job, how far each is, and whether clocks agree",
    "log": "show the site log, and whether it is whole",
    "backup": "copy plan, log and records to a stick or share, and read the copy back",
}


def read_words(words: Sequence[str]) -> argparse.Namespace:
    """Read what was asked for. Only the command that is named takes time to learn its words."""
    name = words[0] if words else "open"
    if name not in COMMANDS:
        return whole_parser().parse_args(words)
    one = Words(f"pourdeck {name}", COMMANDS[name])
    _words_of(name, one)
    return one.parse_args(_below_zero(words[1:]) if name == "weather" else words[1:])


def _below_zero(words: Sequence[str]) -> list[str]:
    """`--air -5C` as `--air=-5C`: an amount below zero is no option."""
    joined: list[str] = []
    for word in words:
        option = joined and joined[-1].startswith("--") and "=" not in joined[-1]
        if option and word[:1] == "-" and word[1:2].isdigit():
            joined[-1] += f"={word}"
        else:
            joined.append(word)
    return joined


def whole_parser() -> argparse.ArgumentParser:
    """The words of every command: for help, and to say what is wrong with a command that is none."""
    top = Words(
        "pourdeck",
        "The deck for crews that stack-cast tilt-up concrete panels. Alone it opens the job of this "
        "folder.",
    )
    top.add_argument("--version", action="version", version=f"pourdeck {__version__}")
    commands = top.add_subparsers(
        metavar="COMMAND", title="commands", prog="pourdeck", required=True
    )
    for name, says in COMMANDS.items():
        _words_of(name, commands.add_parser(name, help=says, description=says))
    return top


def _words_of(name: str, one: argparse.ArgumentParser) -> None:
    one.set_defaults(run=name, json=False)
    one.add_argument("--station", metavar="NAME", help="the station whose log this is")
    if name in ("open", "demo"):
        what = ("job", "the job's folder") if name == "open" else ("folder", "where the copy goes")
        one.add_argument(what[0], nargs="?", metavar=what[0].upper(), help=what[1])
        one.add_argument(
            "--ascii", action="store_true", help="draw with the signs that every terminal has"
        )
        return
    one.add_argument("--json", action="store_true", help="print one JSON document")
    one.add_argument("job", metavar="JOB", help="the job's folder")
    if name in ("setout", "shrink", "ascast", "levels", "pour", "strength", "lifting"):
        one.add_argument("stack", metavar="STACK", help="the stack's id")
        one.add_argument("number", metavar="N", type=panel_number, help="the panel, 1 on the bed")
    _own_words(name, one)


def _own_words(name: str, one: argparse.ArgumentParser) -> None:
    if name == "shrink":
        for size in ("width", "height", "thickness"):
            one.add_argument(f"--{size}", metavar="LENGTH", help=f"the new {size}")
        one.add_argument("--align", metavar="ALIGN", help="a new place on the panel below")
        one.add_argument("--apply", action="store_true", help="record it in the site log")
        one.add_argument("--by", metavar="NAME", help="whose word it is")
        one.add_argument("--reason", metavar="TEXT", help="why the size changed")
        one.add_argument(
            "--word",
            choices=("here", "writing", "phone"),
            help="how the word was given: here if not said",
        )
        one.add_argument(
            "--reference", metavar="TEXT", help="with --word writing: the document or message"
        )
        one.add_argument(
            "--at", metavar="TIME", help="with --word writing or phone: when it was given"
        )
        one.add_argument(
            "--taken-by", metavar="NAME", help="with --word writing or phone: who took it down"
        )
        one.add_argument("--pin", metavar="DIGITS", help="the PIN of who signs, where there is one")
    elif name == "ascast":
        one.add_argument("values", nargs="+", metavar="KEY=VALUE", help="width_base=7201 …")
        one.add_argument("--by", metavar="NAME", required=True, help="who measured")
        one.add_argument("--reason", metavar="TEXT", default="", help="why a value changes")
    elif name == "weather":
        for option, what in (
            ("concrete", "temperature of the concrete"),
            ("air", "temperature of the air"),
            ("rh", "relative humidity, per cent"),
            ("wind", "mean wind half a metre above the slab"),
        ):
            one.add_argument(f"--{option}", metavar="AMOUNT", required=True, help=what)
    elif name == "strength":
        one.add_argument("--at", metavar="TIME", help="at another time than now")
        one.add_argument(
            "--temperatures", metavar="FILE", help="record the readings of a logger's CSV"
        )
        one.add_argument("--by", metavar="NAME", help="with --temperatures: who read the logger")
        one.add_argument("--reason", metavar="TEXT", help="why readings of the log change")
        for option, what in (
            ("unit", "C, F or K, where the file names none"),
            ("column", "the name of the concrete's column, or its number from 1"),
            ("dates", "dmy, mdy or ymd, where 03/04 can be either"),
            ("start", "when the readings begin, where they have no dates"),
        ):
            one.add_argument(
                f"--{option}", metavar=option.upper(), help=f"of the logger's file: {what}"
            )
    elif name == "backup":
        one.add_argument("folder", metavar="FOLDER", help="a folder on a stick or a share")
        one.add_argument(
            "--restore", action="store_true", help="bring back from it what the job lacks"
        )
    elif name == "log":
        one.add_argument("--verify", action="store_true", help="only say whether it is whole")
        one.add_argument("--head", metavar="SEAL", help="a seal noted earlier: is it in the log?")
        one.add_argument("--records", action="store_true", help="write the panel records anew")
        one.add_argument(
            "--continue", dest="go_on", action="store_true", help="go on beside a damaged file"
        )
        one.add_argument(
            "--confirm-time", action="store_true", help="the time is right after a clock has jumped"
        )
        one.add_argument("--by", metavar="NAME", help="who decides to go on, or confirms the time")
        one.add_argument("--reason", metavar="TEXT", help="with --continue: why")


RESERVE = 8_000_000
"""Bytes given back once memory is short, so that it can be told: to load the net takes some 3 MB."""

NO_MEMORY = b"""pourdeck: this computer has no memory left for it.
What was said to be saved is saved. Close other programs, then start it again.
"""


def _tell(error: Exception) -> None:
    """Say what stopped a command; where memory is short for that too, in words that are there already."""
    try:
        from pourdeck.commands.trouble import trouble_text

        say_why(*trouble_text(error))
    except (MemoryError, ImportError, SystemError):
        # SystemError: the interpreter's own word where it ran out of memory half way.
        os.write(2, NO_MEMORY)


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code. Never ends in a traceback."""
    prepare()
    reserve = b""
    collecting = gc.isenabled()
    # A command is over before there is garbage worth looking for; the deck looks for its own.
    gc.disable()
    try:
        reserve = bytes(RESERVE)
        arguments = read_words(sys.argv[1:] if argv is None else argv)
        code: int = import_module(f"pourdeck.commands.{arguments.run}").run(arguments)
    except CannotDoError as error:
        say_why(error.title, error.body)
    except KeyboardInterrupt:
        return 130
    except Exception as error:  # the last net: a foreman never sees a traceback
        del reserve
        _tell(error)
    else:
        return code
    finally:
        if collecting:
            gc.enable()
    return COULD_NOT
