"""The engine that the part is made for."""
