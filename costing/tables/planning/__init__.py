"""From the plan to the pot: what is made and not yet used, what to make and when, and what to buy for it."""
