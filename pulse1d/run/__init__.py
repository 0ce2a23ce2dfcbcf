"""Where a case meets a solver: predictions from case files."""
