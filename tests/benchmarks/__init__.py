"""How fast it is, as ratios, so that the machine cancels out: `python -m tests.benchmarks`."""
