"""What does ngspice make of one of our networks?

The netlist is the same network, branch for branch; the program is started, and what it wrote is read back.
"""

from __future__ import annotations

import re
import subprocess
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from coachwright.kit.wave import Wave
from coachwright.power.network import Branch, Sink, Source

PROGRAM = "ngspice"
RAMP_MS = 0.5
"""Of an edge of a wave: ngspice knows no jumps, and the steeper the edge, the more points it takes round it."""
LEAST_V = 6.0
"""Below which a load of constant power draws no more in the netlist: else ngspice, which begins at 0 V, ends at the
lower of the two voltages at which such a load can stand."""


def netlist(branches: Sequence[Branch], sources: Sequence[Source]) -> list[str]:
    """The network without its loads. A branch without resistance is a source of 0 V."""
    lines = []
    for number, branch in enumerate(branches):
        kind, value = ("R", f"{branch.ohm:.17g}") if branch.ohm > 0.0 else ("V", "DC 0")
        lines.append(f"{kind}w{number} {branch.a} {branch.b} {value}")
    for number, source in enumerate(sources):
        lines.append(f"Vs{number} inner{number} {source.back} DC {source.volt:.17g}")
        lines.append(f"Rs{number} inner{number} {source.node} {source.ohm:.17g}")
    return lines


def standing(branches: Sequence[Branch], sources: Sequence[Source], sinks: Sequence[Sink], on: Sequence[float]) -> str:
    """One state as a circuit whose operating point is asked."""
    lines = ["one state", *netlist(branches, sources)]
    for number, (sink, share) in enumerate(zip(sinks, on, strict=True)):
        if not share:
            continue
        ends = f"{sink.node} {sink.back}"
        if sink.behaves == "current":
            lines.append(f"Il{number} {ends} DC {sink.value * share:.17g}")
        elif sink.behaves == "resistance":
            lines.append(f"Rl{number} {ends} {sink.value / share:.17g}")
        else:
            watts = f"{sink.value * share:.17g}"
            lines.append(f"Bl{number} {ends} I={watts}/max(V({sink.node},{sink.back}),{LEAST_V})")
    return "\n".join([*lines, *_OPTIONS, ".save all", ".op", ".end", ""])


def flashing(
    branches: Sequence[Branch],
    sources: Sequence[Source],
    sinks: Sequence[Sink],
    waves: Sequence[Wave],
    *,
    until_ms: int,
    step_ms: int,
) -> str:
    """A network whose loads follow waves of 0 and 1, over time, with the voltages at both ends of each load kept.

    Each flash of a wave is a pulse source of its own, and equal waves are one control voltage: of what ngspice offers
    the quickest. A wave that is lit over the end of its period begins dark: its first period is not the others'.
    """
    kinds = {wave: number for number, wave in enumerate(dict.fromkeys(waves))}
    lines = ["flashing loads", *netlist(branches, sources)]
    for wave, number in kinds.items():
        spans = wave.lit_spans()
        for flash, (begin_ms, end_ms) in enumerate(spans):
            before = "0" if flash == len(spans) - 1 else f"wave{number}_{flash + 1}"
            timing = f"{begin_ms}m {RAMP_MS}m {RAMP_MS}m {end_ms - begin_ms - RAMP_MS:.9g}m {wave.period_ms}m"
            here = f"wave{number}" if flash == 0 else f"wave{number}_{flash}"
            lines.append(f"Vc{number}_{flash} {here} {before} PULSE(0 1 {timing})")
    for number, (sink, wave) in enumerate(zip(sinks, waves, strict=True)):
        control, ends = f"wave{kinds[wave]}", f"{sink.node} {sink.back}"
        if sink.behaves == "current":
            lines.append(f"Gl{number} {ends} {control} 0 {sink.value:.17g}")
        else:
            drop = f"max(V({sink.node},{sink.back}),{LEAST_V})"
            lines.append(f"Bl{number} {ends} I=V({control})*{sink.value:.17g}/{drop}")
    kept = " ".join(f"v({node})" for node in sorted({node for sink in sinks for node in (sink.node, sink.back)} - {0}))
    tran = f".tran {step_ms}m {until_ms}m 0 {step_ms}m"
    return "\n".join([*lines, *_OPTIONS, f".save {kept}", tran, ".end", ""])


_OPTIONS = [".options reltol=1e-7 abstol=1e-10 vntol=1e-9 gmin=1e-15"]


def run(text: str, folder: Path) -> dict[str, NDArray[np.float64]]:
    """Every vector ngspice wrote for a netlist, by its name in small letters.

    Raises
    ------
    RuntimeError : it did not run through; says what it said.
    """
    (folder / "network.cir").write_text(text, encoding="ascii")
    raw = folder / "network.raw"
    raw.unlink(missing_ok=True)
    ended = subprocess.run(
        [PROGRAM, "-b", "-r", raw.name, "network.cir"], cwd=folder, capture_output=True, text=True, check=False
    )
    if ended.returncode or not raw.exists():
        raise RuntimeError(f"{PROGRAM} ended with {ended.returncode}: {(ended.stderr or ended.stdout)[-600:]}")
    return read_raw(raw.read_bytes())


def read_raw(raw: bytes) -> dict[str, NDArray[np.float64]]:
    """The vectors of a binary raw file of real numbers."""
    head, _, body = raw.partition(b"Binary:\n")
    text = head.decode("ascii", "replace")
    counts = {name: int(value) for name, value in re.findall(r"No\. (Variables|Points):\s*([0-9]+)", text)}
    names = re.findall(r"^\t[0-9]+\t(\S+)\t", text, flags=re.MULTILINE)
    table = np.frombuffer(body, dtype="<f8", count=counts["Variables"] * counts["Points"])
    return dict(zip(names, table.reshape(counts["Points"], counts["Variables"]).T, strict=True))


def operating_point(vectors: dict[str, NDArray[np.float64]], nodes_n: int) -> NDArray[np.float64]:
    """Of an operating point, shape (nodes,). [V]"""
    return np.array([0.0] + [vectors[f"v({node})"][0] for node in range(1, nodes_n)])


def release() -> str:
    """What it calls itself."""
    said = subprocess.run([PROGRAM, "--version"], capture_output=True, text=True, check=False).stdout
    found = re.search(r"ngspice-[0-9.]+", said)
    return found[0] if found else PROGRAM
