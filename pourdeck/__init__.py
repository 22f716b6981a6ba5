"""The terminal deck for crews that stack-cast tilt-up concrete panels."""

__version__ = "0.1.0"
