"""What was done: entries, the file they are appended to, verifying it, and replaying it to a state."""
