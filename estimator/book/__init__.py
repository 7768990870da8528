"""The shop's own: price book, consumables, rig, own arc, and the check of a book."""
