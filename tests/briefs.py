"""Briefs that several tests share."""

SMALL_BRIEF = """
title = "Lamp <script>alert(1)</script> & $co"
[space]
outer_diameter_mm = 80
bore_diameter_mm = 20
air_gap_mm = 2.5
coil_height_mm = 5
[speed]
rpm = 500
[[magnets]]
shape = "disc"
diameter_mm = 15
thickness_mm = 5
grade = "N42"
quantity = 8
[wire]
diameters_mm = [0.25, 0.315]
length_m = 30
[coil]
topologies = ["wedge", "round"]
"""
