"""The estimate of every sample and of three hundred random jobs, held to the byte; `python -m tests.golden`."""
