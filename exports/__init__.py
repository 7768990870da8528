"""Documents for people, each from an estimate document only."""
