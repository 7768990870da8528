"""Tests of the road's steps."""
