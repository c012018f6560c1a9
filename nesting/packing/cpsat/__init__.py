"""Models for the constraint solver CP-SAT: parts of a lay, and small orders as a whole."""
