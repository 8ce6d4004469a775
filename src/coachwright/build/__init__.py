"""What did the lead write, where in the file, and what vehicle does it describe?

In: the text of the build and the lock beside it, and the catalogue.
Out: a frozen model of everything that exists, marks back into the text, and findings about the text.
Edits are spliced at the mark; the rest of the file stays byte for byte.
"""
