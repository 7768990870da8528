"""The order of work: which bore is taken first, tasks, yard, sequence, shifts, calendar, crew, schedule."""
