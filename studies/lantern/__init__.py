"""How many of its sixteen magnets does the science club's lantern need?"""
