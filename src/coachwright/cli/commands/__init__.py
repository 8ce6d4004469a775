"""Which verbs are there?

In: the words after `coachwright`.
Out: one module per verb, loaded only when it is asked for.
"""
