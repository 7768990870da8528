"""What to put on the van for jobs: what they use, how much covers it at a service level, in which packs."""
