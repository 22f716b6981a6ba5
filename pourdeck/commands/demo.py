"""`demo`: copy the example job, its log moved to now, and open the copy; the example never changes."""

from argparse import Namespace
from contextlib import closing
from pathlib import Path
from tempfile import TemporaryDirectory

from pourdeck.commands.jobs import clock, open_job, state_folder, station
from pourdeck.commands.open import has_terminal, open_deck
from pourdeck.commands.outcome import CannotDoError
from pourdeck.example import example_folder
from pourdeck.sitelog.known import forget_ends
from pourdeck.walk.replay_story import StoryUnfitError, copy_example

FOLDER = "pourdeck-demo"
STATION = "shed"


def run(arguments: Namespace) -> int:
    """A folder that holds a copy already is opened as it is, so that what was tried stays."""
    folder = Path(arguments.folder or FOLDER)
    if not (folder / "job.toml").is_file():
        copy(folder)
    if not has_terminal():
        raise CannotDoError(
            f"the example is in {folder}; the deck needs a terminal.",
            f"In one, say: pourdeck open {folder}. Every other command prints.",
        )
    name = station(arguments) if arguments.station else STATION
    return open_deck(folder, name, ascii_only=arguments.ascii)


def copy(folder: Path) -> None:
    from pourdeck.paper.record_files import build_records
    from pourdeck.plan.reader import read_job
    from pourdeck.walk.words import zone_of

    try:
        source = example_folder()
        now = clock().astimezone(zone_of(read_job(source), None))
        with TemporaryDirectory() as apart:
            copy_example(source, folder, now, state_folder=Path(apart))
        # An example that was here before and is gone was no job.
        forget_ends(state_folder(), folder)
        with closing(open_job(folder, STATION, read_only=True)) as desk:
            build_records(desk)
    except (StoryUnfitError, FileNotFoundError) as error:
        raise CannotDoError("the example cannot be copied.", str(error)) from error
    except OSError as error:
        raise CannotDoError(
            f"the example cannot be copied to {folder}.",
            f"{error.strerror or error}. Name another.",
        ) from error
