"""What the machine is, whether it fits, and how it is drawn. No fields, no search.

Inside, everything is SI (metres, teslas, ohms); names with a suffix such as ``_mm`` carry that unit.
Points of the plane are complex numbers x + iy; the shaft is the origin.
"""
