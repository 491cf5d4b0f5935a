"""Laws that hold for every season."""
