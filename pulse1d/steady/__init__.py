"""Steady compressible flow through the network: closed forms, the march along a path, the solvers."""
