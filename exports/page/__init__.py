"""Text pages for people, from a document only."""
