"""One file a version of the tables. A file that was released is never changed."""
