"""The commands: parse, show progress, write files."""
