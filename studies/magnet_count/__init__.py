"""How many magnets should a given carrier hold?"""
