"""How the tables came to be, version by version; run by `api.store.schema`, never by hand."""
