"""Circles, sections, cylinders and hulls of points: no word of welding in it."""
