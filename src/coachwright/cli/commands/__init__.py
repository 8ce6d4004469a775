"""One file, one command. Comes in: words of the command line. Goes out: text (or JSON) and an exit code."""
