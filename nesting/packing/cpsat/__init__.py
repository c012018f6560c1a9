"""Parts of a lay, and small orders as a whole, as models of the constraint solver CP-SAT."""
