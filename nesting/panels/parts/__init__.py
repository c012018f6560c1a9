"""Parts that several products share: strips, wraps, closures, welt, filling."""
