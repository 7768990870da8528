"""The steps of the road in full: bores surveyed about their lines, chosen, computed, their work put in order."""
