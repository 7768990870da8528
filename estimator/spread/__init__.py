"""How far hours, use, cost and price may come out otherwise, and what that hangs on."""
