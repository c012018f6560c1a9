"""The cloth that panels are cut from."""
