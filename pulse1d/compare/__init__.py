"""Comparison: measured parts against each other, and measurement against prediction."""
