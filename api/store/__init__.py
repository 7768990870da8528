"""What is kept: tables, queries, migrations; SQLite in one file, or PostgreSQL for several servers."""
