"""Data only: ingredients, currencies, units, each value with its source."""
