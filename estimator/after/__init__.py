"""What happened beside what was estimated, and the invoice."""
