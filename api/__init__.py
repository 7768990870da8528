"""Ways in: the command, the web service."""
