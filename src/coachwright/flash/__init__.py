"""flash: do the lamps flash together, at an allowed rate, without a dark moment, without hiding brake and turn?

Comes in: what the machine puts out in a situation (control.statement), the heads and their parts.
Goes out: per head one wave of light share per colour and one wave of current; measures of rate, dark
time, overlap, drift.
"""
