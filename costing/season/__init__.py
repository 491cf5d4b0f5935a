"""What follows from the records? The costed season, cautions, comparing and tracing."""
