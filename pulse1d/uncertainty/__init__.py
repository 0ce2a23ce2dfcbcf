"""Bands of a prediction: samples of stated doubts, quantiles, and whose share is how large."""
