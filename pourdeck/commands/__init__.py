"""What each command does. Everything heavy is imported by the command that needs it."""
