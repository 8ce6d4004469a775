"""What do all rooms share that knows nothing of vehicles?

In: text positions, numbers with units, small frozen things.
Out: marks, cites, measures, findings, geometry, tables; answers remembered by what they depend on.
Knows no word of the trade and imports no other room.
"""
