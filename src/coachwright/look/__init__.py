"""How does a state, a number or a finding look in print?

In: measures, findings, states, colours of light.
Out: cells with a word, a sign and a colour, type and spacing; the same on paper and on screen.
Colour never speaks alone: a word or a hatch goes with it.
"""
