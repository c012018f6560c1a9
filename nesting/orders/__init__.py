"""The file the workroom writes."""
