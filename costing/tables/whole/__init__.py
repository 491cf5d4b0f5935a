"""What holds for the season as a whole? Settings, totals, checks, the first sheet, two seasons compared."""
