"""The pieces of a cloth that are there, and its flaws, as an order states them."""
