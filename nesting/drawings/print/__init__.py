"""Pages for people: marks on paper, written as PDF."""
