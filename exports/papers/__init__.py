"""Papers in PDF that a customer gets: a Typst template each, filled from an estimate document by an allow-list."""
