"""How far is each coil shape from the best winding there could be?"""
