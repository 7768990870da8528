"""What it costs: cost lines a customer can follow, and the price made of them."""
