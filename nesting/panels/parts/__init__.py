"""What several products are made of: strips, wraps, closures, welt, filling."""
