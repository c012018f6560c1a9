"""Long strips: boxing round plates and wraps round ends, whole, in pieces or with a zip."""
