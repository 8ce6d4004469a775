"""Is this vehicle right, and how do we know?

In: the model, the rooms' measures, the rules, the lead's waivers.
Out: one verdict in which every rule that applies has a state, every measure its place in the file.
Silence is not a pass.
"""
