"""The program's own trouble. What is wrong in a lead's file is a Finding, never one of these."""

from __future__ import annotations


class CoachwrightError(Exception):
    """Something that stops a command. Its text is written for a shop lead."""


class DoorRefused(CoachwrightError):
    """A file was refused whole: too large, not text, not readable. One clear sentence."""


class SerialNotThere(CoachwrightError):
    """The job has no vehicle of the number that was asked for."""


class EditRefused(CoachwrightError):
    """An edit was not made: the file has moved on, or what it names is not there."""


class DataWrong(CoachwrightError):
    """A catalogue entry or a pack of ours (or of the shop) does not load; the text names file and place."""
