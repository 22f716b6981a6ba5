"""Where the example jobs are: inside the installed package, or beside it in a checkout."""

from pathlib import Path

METRIC = "quarry-lane"
IMPERIAL = "mill-yard"


def example_folder(name: str = METRIC) -> Path:
    """The folder of example job `name`. Raises FileNotFoundError, saying where it was sought."""
    package = Path(__file__).resolve().parent
    looked = (package / "jobs" / name, package.parent / "jobs" / name)
    for folder in looked:
        if (folder / "job.toml").is_file():
            return folder
    places = " or ".join(str(folder) for folder in looked)
    raise FileNotFoundError(f"there is no example job {name}: looked for {places}. Install again.")
