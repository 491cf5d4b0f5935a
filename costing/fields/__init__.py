"""What can one cell hold? Field types, numbers as people write them, units, and the packaged lists."""
