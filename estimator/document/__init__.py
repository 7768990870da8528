"""The answer: each part's type and its writer."""
