"""The commands: they parse arguments, show progress and write files."""
