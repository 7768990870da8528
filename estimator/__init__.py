"""Boreworth's engine: what the on-site repair of worn bores takes, computed and explained.

Pure engineering: no file written, no network, no clock, no database.
"""
