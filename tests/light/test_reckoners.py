"""The light room's list of single calculations."""

from coachwright.cli.reckon_door import listing


def test_the_room_offers_what_the_docs_promise() -> None:
    """Law: the names of the light room's calculations each with a source or sources by answer."""
    entries = {entry.name: entry for entry in listing()[0] if entry.room == "light"}

    assert set(entries) >= {
        "effective-intensity",
        "optical-power",
        "sight-range",
        "intensity-for-range",
        "glare-veil",
        "glass",
        "stopping-distance",
        "crossing",
        "gap-distance",
        "chromaticity",
        "retroreflection",
        "photometry",
    }
    without = {name for name, entry in entries.items() if not entry.sources}
    assert without <= {"chromaticity", "retroreflection"}
