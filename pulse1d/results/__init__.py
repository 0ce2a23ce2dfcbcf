"""Labelled results, where they come from, and how they lie on disk."""
