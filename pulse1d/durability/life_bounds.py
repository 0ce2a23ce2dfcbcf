"""Bounds of what is told of a life."""

LIFE_LEAST, LIFE_MOST = 0.25, 1e9
"""Bounds of what is told [cycles]: a first pull is a quarter cycle; no part is started more than
1e9 times (judgement)."""
