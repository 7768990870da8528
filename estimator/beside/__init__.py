"""What else could be done: ways, the other wear, other crews."""
