"""`python -m pourdeck` is the same as `pourdeck`."""

from pourdeck.cli import main

raise SystemExit(main())
