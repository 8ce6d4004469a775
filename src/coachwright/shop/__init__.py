"""How long does the work take, how much is ordered, and what does a sample miss?

In: hours of the first vehicle, tasks and who waits for whom, demand and prices, lots and samples.
Out: hours of later vehicles, the critical path and its chance, the cheapest order, the risk of a sample.
Has no opinion: limits live in the rule packs.
"""
