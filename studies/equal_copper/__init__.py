"""Which coil shape makes the most of a given amount of copper?"""
