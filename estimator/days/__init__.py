"""The order of work: tasks, yard, sequence, shifts, calendar, crew, schedule."""
