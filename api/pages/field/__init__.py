"""Pages for who is on site: a phone, gloves, no network, no money."""
