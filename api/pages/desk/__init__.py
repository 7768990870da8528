"""The desk: a call becomes a job, a job a quote, and a quote lives by buttons."""
