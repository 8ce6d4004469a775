"""Who decides what is left open: the registry, what is decided, and that a second settling changes nothing."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import pytest

from coachwright.build import settling
from coachwright.build.load import Loaded, load_alike, read_build
from coachwright.build.lock import Lock, lock_path, lock_text, read_lock, read_lock_text, write_lock
from coachwright.build.model import Decision, Model
from coachwright.build.settling import About, Question, Settled, Solver, lock_findings, question, register, settle
from coachwright.kit.errors import DataWrong, EditRefused
from tests.build import small

CATALOGUE = small.small_catalogue()
OPTIONS = """\
options:
  second-fan: {base: none, none: {}, fitted: {add: {equipment.fan-two: {part: fan, at: floor}}}}
"""
SERIALS = "count: 3\nserials:\n  2: {choose: {second-fan: fitted}}"


def asks(model: Model) -> tuple[Question, ...]:
    """Each piece of equipment asks for a channel; it rests on the part and on how many there are."""
    count = len(model.equipment)
    return tuple(question(f"equipment.{item.name}", "channel", item.part, count) for item in model.equipment)


def decides(model: Model, waiting: tuple[Question, ...], kept: Mapping[About, str]) -> Mapping[About, str]:
    """The lowest channel nobody has; the controller itself has none."""
    del model
    taken, found = set(kept.values()), {}
    for each in waiting:
        if each.subject != "equipment.box":
            free = next(str(number) for number in range(1, 99) if str(number) not in taken)
            taken.add(free)
            found[each.about] = free
    return found


CHANNELS = Solver("channels", asks, decides)
SOLVERS = {"channels": CHANNELS}


def job(lock: Lock | None = None, **sections: str) -> tuple[Model, ...]:
    """The base and vehicle 2 of the small job."""
    text = small.whole(**{"options": OPTIONS, "serials": SERIALS, **sections})
    found = [read_build(text, catalogue=CATALOGUE, serial=serial, lock=lock) for serial in (None, 2)]
    return tuple(_model(each) for each in found)


def _model(loaded: Loaded) -> Model:
    assert loaded.model is not None, loaded.findings
    return loaded.model


def again(settled: Settled) -> Lock:
    """The lock that was settled, read."""
    return read_lock_text(lock_text(settled.decisions, build="build.yaml"), file="build.lock.yaml")


def values(settled: Settled) -> list[tuple[str, str, bool]]:
    """What was decided: about what, the value, and whether only for some vehicles."""
    return [(each.subject, each.value, bool(each.choices)) for each in settled.decisions]


def test_what_is_open_is_decided_for_the_base_and_for_each_choice() -> None:
    """Case: vehicle 2 has one fan more, so all of its channels rest on something else, and have lines of their own."""
    settled = settle(job(), Lock(""), SOLVERS)

    assert values(settled) == [
        ("equipment.fan-two", "3", True),
        ("equipment.locker-fan", "2", False),
        ("equipment.locker-fan", "2", True),
        ("equipment.main-siren", "1", False),
        ("equipment.main-siren", "1", True),
    ]
    assert [(each.subject, bool(choices)) for each, choices in settled.open] == [
        ("equipment.box", False),
        ("equipment.box", True),
    ]
    assert {change.why for change in settled.changes} == {"new"}


def test_settled_twice_changes_nothing() -> None:
    """Law: what is settled stays, to the byte."""
    first = settle(job(), Lock(""), SOLVERS)
    second = settle(job(again(first)), again(first), SOLVERS)

    assert second.changes == ()
    assert lock_text(second.decisions, build="b") == lock_text(first.decisions, build="b")


def test_what_the_lead_fixed_is_not_decided() -> None:
    """Law: fixed wins; the line in the lock goes, and what is left doesn't take the lead's channel."""
    lock = again(settle(job(), Lock(""), SOLVERS))
    settled = settle(job(lock, fixed="fixed:\n  main-siren: {channel: 7}"), lock, SOLVERS)

    assert {each.subject for each in settled.decisions} == {"equipment.locker-fan", "equipment.fan-two"}
    gone = [change for change in settled.changes if change.after is None]
    assert {change.before.subject for change in gone if change.before} == {"equipment.main-siren"}
    fresh = settle(job(fixed="fixed:\n  main-siren: {channel: 1}"), Lock(""), SOLVERS)
    assert ("equipment.locker-fan", "2", False) in values(fresh)


def test_stale_decisions_are_used_and_told_and_settled_again() -> None:
    """BLD-171: another part, another base: the value holds until it is settled, and the finding has its line."""
    lock = again(settle(job(), Lock(""), SOLVERS))
    equipment = small.BASE["equipment"].replace("locker-fan: {part: fan", "locker-fan: {part: alarm")
    functions = "functions: {}"
    base, _ = models = job(
        lock, equipment=equipment, functions=functions, messages="", stops="", limits="", promises=""
    )

    assert [each.value for each in base.decisions if each.subject == "equipment.locker-fan"] == ["2"]
    stale = [each for each in lock_findings(base, lock, SOLVERS) if each.code == "BLD-171"]
    assert [(each.about, each.severity) for each in stale] == [("equipment.locker-fan", "warning")]
    line = lock.text.splitlines()[stale[0].where[0].line - 1]
    assert "equipment.locker-fan" in line
    settled = settle(models, lock, SOLVERS)
    assert {change.why for change in settled.changes if change.after} == {"still holds, from what it rests on now"}
    assert lock_findings(_again(settled, equipment, functions), again(settled), SOLVERS)[0].code == "BLD-174"


def _again(settled: Settled, equipment: str, functions: str) -> Model:
    lock = again(settled)
    return job(lock, equipment=equipment, functions=functions, messages="", stops="", limits="", promises="")[0]


def test_what_nothing_asks_for_any_more() -> None:
    """BLD-172: the subject is gone, or no vehicle can choose so any more; settling takes the line out."""
    odd = Decision("equipment.old-siren", "channel", "9", "channels", "0123456789abcdef")
    never = Decision("equipment.box", "channel", "8", "channels", "0123456789abcdef", (("colour", "green"),))
    lock = read_lock_text(lock_text([odd, never], build="b"), file="build.lock.yaml")
    models = job(lock)

    found = [each for each in lock_findings(models[0], lock, SOLVERS) if each.code == "BLD-172"]
    assert [each.about for each in found] == ["equipment.box", "equipment.old-siren"]
    assert all(each.where[0].file == "build.lock.yaml" for each in found)
    assert not {"equipment.old-siren"} & {each.subject for each in settle(models, lock, SOLVERS).decisions}


def test_what_one_vehicle_does_not_have_is_not_missed_there() -> None:
    """Case: the base decides for the fan; the vehicle without it has no finding of that, for nothing is wrong."""
    options = "options:\n  power: {base: fan, fan: {}, none: {drop: [equipment.locker-fan]}}"
    serials = "count: 2\nserials:\n  2: {choose: {power: none}}"
    first = settle(job(options=options, serials=serials), Lock(""), SOLVERS)
    lock = again(first)
    base, without = models = job(lock, options=options, serials=serials)

    assert ("equipment.locker-fan", "2", False) in values(first)
    assert {each.code for each in lock_findings(base, lock, SOLVERS)} == {"BLD-174"}
    assert {each.code for each in lock_findings(without, lock, SOLVERS)} == {"BLD-174"}
    assert settle(models, lock, SOLVERS).changes == ()


def test_decided_by_somebody_nobody_knows() -> None:
    """BLD-173: it is used, told, and left where it is: whoever wrote it knew more."""
    strange = Decision("equipment.box", "gauge", "12 AWG", "wizard", "0123456789abcdef")
    lock = read_lock_text(lock_text([strange], build="b"), file="build.lock.yaml")
    base = job(lock)[0]

    assert [each.code for each in lock_findings(base, lock, {})] == ["BLD-173"]
    assert [each.value for each in base.decisions] == ["12 AWG"]
    assert [each.by for each in settle([base], lock, {}).decisions] == ["wizard"]


def test_what_is_not_decided_is_told() -> None:
    """BLD-174: silence is no decision; what is fixed or decided is not told."""
    base = job(fixed="fixed:\n  main-siren: {channel: 7}")[0]
    found = lock_findings(base, Lock(""), SOLVERS)

    assert [(each.code, each.about) for each in found] == [
        ("BLD-174", "equipment.box"),
        ("BLD-174", "equipment.locker-fan"),
    ]
    assert lock_findings(base, Lock(""), {}) == ()


def test_decided_anew() -> None:
    """Case: --anew asks again for everything; here the answer is the same, so nothing changes."""
    lock = again(settle(job(), Lock(""), SOLVERS))
    calls: list[int] = []

    def counting(model: Model, waiting: tuple[Question, ...], kept: Mapping[About, str]) -> Mapping[About, str]:
        calls.append(len(waiting))
        return decides(model, waiting, kept)

    solvers = {"channels": Solver("channels", asks, counting)}
    assert settle(job(lock), lock, solvers).changes == ()
    assert calls == [1, 1]  # only the controller itself, which nobody can decide
    assert settle(job(lock), lock, solvers, anew=True).changes == ()
    assert calls[2:] == [3, 4]


def test_a_solver_that_answers_something_else_is_refused() -> None:
    """Law: nobody decides what was not asked."""
    rogue = Solver("rogue", asks, lambda *_: {("equipment.box", "colour"): "red"})

    with pytest.raises(DataWrong, match="was not asked"):
        settle(job()[:1], Lock(""), {"rogue": rogue})


def test_names_of_solvers_are_their_own(monkeypatch: pytest.MonkeyPatch) -> None:
    """Law: two solvers of one name would write over each other."""
    monkeypatch.setattr(settling, "SOLVERS", {})

    assert register(CHANNELS) is register(CHANNELS)
    with pytest.raises(DataWrong, match="channels"):
        register(Solver("channels", asks, lambda *_: {}))


def test_what_a_question_rests_on_decides_its_digest() -> None:
    """Law: the same things, the same digest; anything else, another."""
    assert question("equipment.a", "fuse", 1.5, "x") == question("equipment.a", "fuse", 1.5, "x")
    assert question("equipment.a", "fuse", 1.5, "x") != question("equipment.a", "fuse", 1.5, "y")


def test_the_lock_is_written_whole_and_only_over_what_was_read(tmp_path: Path) -> None:
    """Law: nothing is lost to a file that moved on; the same decisions leave the file alone."""
    path = tmp_path / "build.yaml"
    path.write_text(small.whole(options=OPTIONS, serials=SERIALS))
    loaded = load_alike(path, catalogue=CATALOGUE)
    lock = loaded[0].lock
    settled = settle([_model(each) for each in loaded], lock, SOLVERS)
    where = lock_path(path)

    assert write_lock(lock, settled.decisions, path=where, build=path.name)
    assert where.read_text() == lock_text(settled.decisions, build="build.yaml")
    with pytest.raises(EditRefused):
        write_lock(lock, settled.decisions[:1], path=where, build=path.name)
    read = load_alike(path, catalogue=CATALOGUE)[0].lock
    assert not write_lock(read, settled.decisions, path=where, build=path.name)
    assert write_lock(read, settled.decisions[:1], path=where, build=path.name)
    assert sorted(each.name for each in tmp_path.iterdir()) == ["build.lock.yaml", "build.yaml"]


def test_a_lock_that_came_in_between_is_not_overwritten(tmp_path: Path) -> None:
    """Law: a file that wasn't there when it was read is somebody else's."""
    where = tmp_path / "build.lock.yaml"
    where.write_text("somebody else's")

    with pytest.raises(EditRefused):
        write_lock(Lock(str(where)), [Decision("equipment.a", "fuse", "5 A", "x", "01234567")], path=where, build="b")
    assert where.read_text() == "somebody else's"


@pytest.mark.parametrize("text", ["export PATH=x\n", "coachwright: 1\njob: {name: a}\n", "- a\n", "a: [\n"])
def test_what_is_no_lock_is_never_overwritten(tmp_path: Path, text: str) -> None:
    """Law: a file of that name that isn't a lock is somebody's own; and nothing is written through a link."""
    where = tmp_path / "build.lock.yaml"
    other = tmp_path / "other"
    other.write_text(text)
    decision = Decision("equipment.a", "fuse", "5 A", "x", "01234567")
    where.symlink_to(other)
    with pytest.raises(EditRefused, match="is a link"):
        write_lock(read_lock(where), [decision], path=where, build="b")
    where.unlink()
    where.write_text(text)
    with pytest.raises(EditRefused, match="isn't a lock"):
        write_lock(read_lock(where), [decision], path=where, build="b")

    assert where.read_text() == other.read_text() == text


def test_nothing_to_write_makes_no_file(tmp_path: Path) -> None:
    """Case: a job nobody decides anything for has no lock."""
    assert not write_lock(Lock(""), [], path=tmp_path / "build.lock.yaml", build="b")
    assert list(tmp_path.iterdir()) == []
