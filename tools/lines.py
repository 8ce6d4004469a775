"""How long may a file be, and which are longer for a reason?"""

MOST_LINES = 600

LONG_FILES: dict[str, str] = {}
"""Path from the top of the repository -> why it is one file all the same."""
