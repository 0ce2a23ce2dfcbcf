"""Figures: results in, figure out; one figure a file."""
