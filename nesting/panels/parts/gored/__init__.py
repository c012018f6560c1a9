"""Round articles sewn from gores: their profiles and the gores that cover them."""
