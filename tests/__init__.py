"""Checks of boreworth: `python -m tests` runs them all."""
