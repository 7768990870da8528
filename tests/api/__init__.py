"""Ways in, as their users meet them."""
