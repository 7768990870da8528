"""What it takes: time standards, hours of a bore, wire, gas, wear parts and sundries, what saves a hard deposit."""
