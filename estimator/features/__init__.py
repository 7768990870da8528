"""What a bore has besides a plain cylinder: faces, grooves, gaps, holes, chamfers, pockets; decided and reckoned."""
