"""What do standards, law, contract and house ask for?

In: packs of limits, ours and those beside the build, each limit with its source and status.
Out: checked rules: a measure to ask for, its limit, whom it applies to, who says so.
Never sees a vehicle, knows only the kit.
"""
