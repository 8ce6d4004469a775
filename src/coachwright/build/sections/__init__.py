"""How is each section of the build file written?

In: the node of one section, with its marks.
Out: what was written there, field by field, and findings about it.
One file per section.
"""
