"""The steps of the road in full: bores surveyed about their lines, what is chosen for each, what each takes."""
