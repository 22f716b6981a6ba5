"""Keep what was done: entries, their file, verifying it, and replaying it to a state."""
