"""Pages for people: plain HTML from templates, no script, one style sheet of our own inside each page."""
