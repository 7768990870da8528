"""The pool of worker processes."""
