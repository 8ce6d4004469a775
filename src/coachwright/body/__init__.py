"""What does the vehicle carry, does it hold, and can the crew breathe and stand beside its antennas?

In: weights and where they sit, decelerations, air flows, radio power, cable.
Out: axle loads, height of the centre of gravity, forces, concentrations, distances.
Has no opinion: limits live in the rule packs, tables carry their source.
"""
