"""Speed, as ratios to a named general-purpose peer doing the same work in the same run.

Seconds on a shared machine mean nothing; a ratio of two things run turn by turn means something.
To add a row: a file `row_<letter>.py` with a `ROWS` tuple of `Bench` (timed) or `Trial` (judged by its own result).
"""
