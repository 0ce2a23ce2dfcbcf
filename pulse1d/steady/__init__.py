"""Steady compressible flow through the network: closed forms, march, solvers."""
