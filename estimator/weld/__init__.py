"""How the metal is built up: arc, bead, limits of technique, layer plan, steel and heat."""
