"""The pool of worker processes: whatever is computed for a caller is computed there, each piece within its bounds."""
