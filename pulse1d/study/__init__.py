"""Studies: many designs around one case - swept, searched, and asked which dimension matters."""
