"""How it comes back to size: boring passes before and after welding, power, inserts."""
