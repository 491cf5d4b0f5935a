"""Where is it kept? A season as a folder of CSV files."""
