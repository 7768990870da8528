"""Routes of the service: read, call, answer."""
