"""``python -m pulse1d`` is the command line."""

from pulse1d.cli.main import run

if __name__ == "__main__":
    run()
