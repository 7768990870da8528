"""What `python -m tests` is made of; standard library only, so that it can say what is not installed."""
