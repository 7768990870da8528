"""Pages for people: HTML from templates that reads and sends forms without a script, which then only helps."""
