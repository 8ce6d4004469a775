"""Which wire, which fuse, and how long does the battery last?

In: gauges, lengths, insulation, currents and their shape in time, the ratings of a battery.
Out: resistance, drop, current a wire may carry, fuse that guards it, what a short does, minutes and days.
Has no opinion: limits live in the rule packs, tables carry their source.
"""
