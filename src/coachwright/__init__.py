"""One text file that describes an emergency or roadside-response vehicle in; everything computed, every paper out.

ARCHITECTURE.md shows the rooms and who may look into whom.
"""

__version__ = "0.1.0"
