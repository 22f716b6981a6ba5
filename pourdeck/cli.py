"""The commands: their words, and how each ends. What they do is in `pourdeck.commands`.

Exit codes: 0 done and nothing wrong, 1 done and what was asked about has errors, 2 could not be done.
"""

import argparse
import sys
from collections.abc import Sequence
from importlib import import_module

from pourdeck import __version__
from pourdeck.commands.outcome import COULD_NOT, CannotDoError, say_why
from pourdeck.plan.fault import JobFaulty, JobUnreadable
from pourdeck.plan.numbers import NotALength
from pourdeck.sitelog.logfile import NotSaved

ENDING = """\
exit codes: 0 done and nothing wrong; 1 done, and what was asked about has errors;
2 could not be done (one message on standard error)

lengths: 7200   7200 mm   7.2 m   23' 7-1/2"   283.5in
a bare number is millimetres, in an imperial job inches"""


def parser() -> argparse.ArgumentParser:
    """The words of every command."""
    top = argparse.ArgumentParser(
        prog="pourdeck",
        description="The deck for crews that stack-cast tilt-up concrete panels. Alone it opens the "
        "job of this folder.",
        epilog=ENDING,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    top.add_argument("--version", action="version", version=f"pourdeck {__version__}")
    top.set_defaults(run="open", job=None, station=None, json=False)
    commands = top.add_subparsers(metavar="COMMAND", title="commands")

    def command(name: str, says: str, *, json: bool = True) -> argparse.ArgumentParser:
        one = commands.add_parser(
            name,
            help=says,
            description=says,
            epilog=ENDING,
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        one.set_defaults(run=name)
        one.add_argument("--station", metavar="NAME", help="the station whose log this is")
        if json:
            one.add_argument("--json", action="store_true", help="print one JSON document")
        return one

    opening = command("open", "open the deck on a job", json=False)
    opening.add_argument("job", nargs="?", metavar="JOB", help="the job's folder")
    demo = command("demo", "copy the example job and open it", json=False)
    demo.add_argument("folder", nargs="?", metavar="FOLDER", help="where the copy goes")
    for name, says in (
        ("check", "read plan and log, list what is wrong"),
        ("board", "show where every stack stands"),
        ("setout", "show the set-out of a panel"),
        ("shrink", "show what a size change does; with --apply record it"),
        ("ascast", "record as-cast measurements of a poured panel"),
        ("log", "show the site log, and whether it is whole"),
    ):
        one = command(name, says)
        one.add_argument("job", metavar="JOB", help="the job's folder")
        if name in ("setout", "shrink", "ascast"):
            one.add_argument("stack", metavar="STACK", help="the stack's id")
            one.add_argument("number", metavar="N", type=int, help="the panel, 1 on the bed")
        _own_words(name, one)
    return top


def _own_words(name: str, one: argparse.ArgumentParser) -> None:
    if name == "shrink":
        for size in ("width", "height", "thickness"):
            one.add_argument(f"--{size}", metavar="LENGTH", help=f"the new {size}")
        one.add_argument("--align", metavar="ALIGN", help="a new place on the panel below")
        one.add_argument("--apply", action="store_true", help="record it in the site log")
        one.add_argument("--by", metavar="NAME", help="who records it")
        one.add_argument("--reason", metavar="TEXT", help="why the size changed")
    elif name == "ascast":
        one.add_argument("values", nargs="+", metavar="KEY=VALUE", help="width_base=7201, …")
        one.add_argument("--by", metavar="NAME", required=True, help="who measured")
    elif name == "log":
        one.add_argument("--verify", action="store_true", help="only say whether it is whole")
        one.add_argument("--head", metavar="SEAL", help="a seal noted earlier: is it in the log?")


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code. Never ends in a traceback."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    arguments = parser().parse_args(argv)
    try:
        code: int = import_module(f"pourdeck.commands.{arguments.run}").run(arguments)
        sys.stdout.flush()
    except (JobUnreadable, CannotDoError, NotSaved) as error:
        say_why(error.title, error.body)
    except JobFaulty as error:
        from pourdeck.commands.faulty import faulty_text

        say_why(*faulty_text(error))
    except NotALength as error:
        say_why(f"{error.title}.", error.body)
    except BrokenPipeError:
        sys.stderr.close()
        return 0
    except KeyboardInterrupt:
        return 130
    except Exception as error:  # the last net: a foreman never sees a traceback
        from pourdeck.commands.crash import crash_text

        say_why(*crash_text(error))
    else:
        return code
    return COULD_NOT
