"""What can be asked at the prompt?

In: a command and a build file.
Out: text for people, JSON for programs, an exit code for both.
A broken command explains itself and does not hide the others.
"""
