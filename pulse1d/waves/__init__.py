"""Unsteady one-dimensional flow: exact waves, the compiled network kernel and its plain twin."""
