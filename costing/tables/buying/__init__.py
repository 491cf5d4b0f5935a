"""What did things cost? Purchases, items, and what is in stock."""
