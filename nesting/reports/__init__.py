"""Reports for the maker, the buyer, the cutter and the sewer."""
