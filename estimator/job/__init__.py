"""What came in: the job document, read once and strictly."""
