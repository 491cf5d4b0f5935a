"""What did the maker write? The tables of a season, parsing, faults between them, and the order of making."""
