"""Watch a build on a live bus: every changed output as it comes, with the time it took from its frame.

By default a log is played at its own pace onto a virtual bus inside this program. Another bus is only listened to, and
only when it is named. Ends with the log, after --for, or with Ctrl-C.
"""

from __future__ import annotations

import json
import signal
import threading
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import Annotated

from cyclopts import Parameter

from coachwright.cli.faces import caution_line, command_app, existing_build
from coachwright.kit.errors import CoachwrightError

app = command_app("watch", __doc__)


@app.default
def run(
    build: Path,
    *,
    play: Path | None = None,
    bus: str = "virtual",
    said: Annotated[Path | None, Parameter(name="--map")] = None,
    time: Annotated[str, Parameter(name="--for")] = "",
    serial: int | None = None,
    as_json: Annotated[bool, Parameter(name="--json", negative="")] = False,
) -> int:
    """Watch one build.

    Parameters
    ----------
    build : the build file, or the folder it lies in.
    play : a log of frames to play onto the virtual bus.
    bus : virtual, or a bus of this computer to listen to, like socketcan:vcan0.
    said : the file that says which message is which input; without it vehicle-data.yaml beside the log or the build.
    time : how long to watch, like 10 s or 2 min; until the log is over or Ctrl-C without it.
    serial : number of the vehicle; the base, with no option chosen, without it.
    as_json : print one JSON document per line: each change, then the counts.
    """
    path = existing_build(build)
    from coachwright.cli.open_build import opened
    from coachwright.cli.vehicle_data import feeds_beside
    from coachwright.control.logs import read_log
    from coachwright.control.watch import CHANNEL, Answer, Player, Watch, opened_bus
    from coachwright.look.watched import answer_json, answer_line, counts_json, counts_lines

    interface, _, channel = bus.partition(":")
    for_s = _seconds(time)
    if play is not None and interface != "virtual":
        raise CoachwrightError("A log is played onto the virtual bus only; nothing is sent on any other.")
    if play is None and interface == "virtual" and for_s is None:
        raise CoachwrightError(
            "Nobody else speaks on the virtual bus of this program. Name a log with --play, or another bus with --bus."
        )
    model = opened(path, serial=serial)
    log = read_log(play) if play is not None else None
    if log is not None and log.form == "lines":
        raise CoachwrightError(f"{play} is a log of lines: there are no frames to play. coachwright replay reads it.")
    feeds = feeds_beside(model, said, beside=(play or path).parent)

    def tell(answer: Answer) -> None:
        print(json.dumps(answer_json(answer), ensure_ascii=False) if as_json else answer_line(answer), flush=True)

    watch = Watch(model, feeds, tell)
    with ExitStack() as stack:
        stop = stack.enter_context(_stopped_by_user())
        listening = stack.enter_context(opened_bus(interface, channel or CHANNEL))
        player = None
        if log is not None:
            player = stack.enter_context(Player(log, channel or CHANNEL, watch.counts))
        watch.listen(listening, for_s=for_s, until=player.over if player is not None else None, stop=stop)
    if as_json:
        print(json.dumps(counts_json(watch.counts), ensure_ascii=False))
        return 0
    for line in counts_lines(watch.counts):
        print(line)
    print(caution_line("watch"))
    return 0


@contextmanager
def _stopped_by_user() -> Iterator[threading.Event]:
    """Set by the first Ctrl-C; the second one ends the program as usual."""
    stop = threading.Event()
    usual = signal.getsignal(signal.SIGINT) or signal.SIG_DFL

    def asked(*_: object) -> None:
        stop.set()
        signal.signal(signal.SIGINT, usual)

    signal.signal(signal.SIGINT, asked)
    try:
        yield stop
    finally:
        signal.signal(signal.SIGINT, usual)


def _seconds(text: str) -> float | None:
    if not text:
        return None
    from coachwright.kit.units import UnitError, parse

    try:
        found = parse(text, "time")
    except UnitError as error:
        raise CoachwrightError(f"--for {text[:40]}: {error} Write it like 10 s.") from None
    if not 0 < found <= 86_400:
        raise CoachwrightError(f"--for {text[:40]}: from a moment to a day.")
    return found
