"""What does every lamp do for every combination of switch, pedal, stalk and door, and is any promise broken?

In: controls, signals, functions, ranks, memory and messages of the model.
Out: the one pure step, proofs with shortest counterexamples, bench steps, exports.
"""
