"""From finished shapes and their seams to notches, grain arrows and the order of sewing."""
