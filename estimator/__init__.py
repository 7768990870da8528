"""Boreworth's engine: what the on-site repair of worn bores takes, computed and explained.

Pure engineering: no file written, no network, no clock, no database.
"""

__version__ = "0.2.0"  # the one place
ENGINE = f"boreworth {__version__}"  # as every document says it
