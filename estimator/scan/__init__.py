"""A measuring arm's points: from a table of text to bores in their places, thinned to what a document holds."""
