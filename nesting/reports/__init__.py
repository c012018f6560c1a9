"""What the maker, the buyer and the cutter read."""
