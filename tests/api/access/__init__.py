"""Who may come in, what each may ask for, and what nobody gets to see."""
