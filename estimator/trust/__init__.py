"""Trust: every figure explained, and what moved a price from one estimate to another."""
