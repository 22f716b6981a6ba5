"""Run each command. Everything heavy is imported by the command that needs it."""
