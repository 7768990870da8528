"""Who asks, what they may ask for, and what is noted about it."""
