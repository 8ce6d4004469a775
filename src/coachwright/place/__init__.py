"""Where is everything, and which way does it look?

In: the model: places, panels that move, the vehicle body.
Out: poses of every head in each situation, solids, zones, ways for wire, places to keep out of.
"""
