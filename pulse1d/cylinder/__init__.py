"""The cylinder's compiled laws: volume, heat release, wall heat, valve areas; arrays only."""
