"""The store: real databases, and for what can go wrong a real server process before them."""
