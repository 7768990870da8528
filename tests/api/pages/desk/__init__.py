"""Tests of the desk."""
