"""From the description of a manifold to legs, joints and the flat arrays both solvers read."""
