"""What is in the catalogue, and who says so?

In: our data files and a shop's own beside the build: lamps, bodies, wires, photometry.
Out: frozen parts in which every figure carries its source and date.
A figure without a source does not come in.
"""
