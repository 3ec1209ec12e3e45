"""Circuit: what rectifiers and loads make of a winding, in the steady state."""
