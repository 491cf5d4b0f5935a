"""What do the scales say? Weighings, batches, and what is tolerable."""
