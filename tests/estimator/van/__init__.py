"""Tests of what goes on the van."""
