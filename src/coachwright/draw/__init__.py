"""What does it look like, to scale?

In: the model, measures and cells.
Out: sheets of views, coverage roses, time strips, maps and harness drawings, as SVG and DXF.
Does no arithmetic of its own beyond the paper's.
"""
