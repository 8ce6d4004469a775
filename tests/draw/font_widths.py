"""Reads the advance widths out of a TrueType file: OpenType specification, tables cmap (format 4), hhea and hmtx."""

from __future__ import annotations

import struct
from pathlib import Path


def widths(path: Path) -> dict[int, int]:
    """Advance width by character code, in font units."""
    data = path.read_bytes()
    tables = {}
    for number in range(struct.unpack(">H", data[4:6])[0]):
        tag, _, offset, _ = struct.unpack(">4sIII", data[12 + 16 * number : 28 + 16 * number])
        tables[tag.decode()] = offset
    metrics_n = struct.unpack(">H", data[tables["hhea"] + 34 : tables["hhea"] + 36])[0]
    advances = [
        struct.unpack(">H", data[tables["hmtx"] + 4 * place : tables["hmtx"] + 4 * place + 2])[0]
        for place in range(metrics_n)
    ]
    return {code: advances[min(glyph, metrics_n - 1)] for code, glyph in _glyphs(data, tables["cmap"]).items()}


def _glyphs(data: bytes, cmap: int) -> dict[int, int]:
    found: dict[int, int] = {}
    for number in range(struct.unpack(">H", data[cmap + 2 : cmap + 4])[0]):
        offset = struct.unpack(">HHI", data[cmap + 4 + 8 * number : cmap + 12 + 8 * number])[2] + cmap
        if struct.unpack(">H", data[offset : offset + 2])[0] == 4:
            found |= _format_4(data, offset)
    return found


def _format_4(data: bytes, at: int) -> dict[int, int]:
    segments_n = struct.unpack(">H", data[at + 6 : at + 8])[0] // 2

    def row(place: int, kind: str) -> tuple[int, ...]:
        return struct.unpack(f">{segments_n}{kind}", data[place : place + 2 * segments_n])

    ends, starts = row(at + 14, "H"), row(at + 16 + 2 * segments_n, "H")
    deltas, ranges_at = row(at + 16 + 4 * segments_n, "h"), at + 16 + 6 * segments_n
    ranges = row(ranges_at, "H")
    found = {}
    for place, (start, end, delta, span) in enumerate(zip(starts, ends, deltas, ranges, strict=True)):
        for code in range(start, end + 1):
            glyph = (code + delta) & 0xFFFF
            if span:
                where = ranges_at + 2 * place + span + 2 * (code - start)
                glyph = struct.unpack(">H", data[where : where + 2])[0]
                glyph = (glyph + delta) & 0xFFFF if glyph else 0
            if glyph and code != 0xFFFF:
                found[code] = glyph
    return found
