"""What does the lead hand over?

In: a verdict, the model, drawings.
Out: proof book, build book, bench sheets, operator card and delivery book, as PDF and tables.
Users' text is data, never markup; same file in, same bytes out.
"""
