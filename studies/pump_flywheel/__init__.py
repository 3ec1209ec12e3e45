"""How many volts does a disc-magnet rig give that is pumped by hand onto a flywheel?"""
