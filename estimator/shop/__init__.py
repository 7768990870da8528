"""What it takes: time standards, the schedule of crew and nights, consumables."""
