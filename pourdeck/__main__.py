"""`python -m pourdeck` is the same as `pourdeck`."""

import signal

# Ctrl+C while the rest is still being loaded ends the program as the system does, without a traceback.
signal.signal(signal.SIGINT, signal.SIG_DFL)

from pourdeck.cli import main  # noqa: E402

if __name__ == "__main__":
    raise SystemExit(main())
