"""Which parts are there: ours, then the shop's own beside the build?"""

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coachwright.kit.errors import DataWrong
from coachwright.parts import folder, store
from coachwright.parts.folder import MOST_DEPTH
from coachwright.parts.schema import BodyPart, LampPart, SpeakerPart
from coachwright.parts.store import Catalogue, Entry, load_catalogue


def speaker(name: str, *, more: str = "", power: str = "80 W") -> str:
    """A small part file."""
    return (
        f"kind: speaker\nname: {name}\ntitle: A speaker\n{more}"
        f"figures: {{source: a shop's own sheet, date: 2026-01-02, invented: yes}}\npower: {power}\n"
    )


def shop(folder: Path, **texts: str) -> Catalogue:
    """A catalogue over a folder of files; `a__b` stands for a/b, `_` for a hyphen."""
    for key, text in texts.items():
        path = folder / (key.replace("__", "/").replace("_", "-") + ".yaml")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return load_catalogue(shop_folder=folder)


def codes(catalogue: Catalogue) -> list[str]:
    """Codes of the findings, in order."""
    return [each.code for each in catalogue.findings]


def test_ours_are_there_without_a_shop() -> None:
    """The catalogue of the first jobs: one body, a dozen lamps and more, what they are switched and heard by."""
    catalogue = load_catalogue()

    assert isinstance(catalogue.get("short-red-white"), LampPart)
    assert isinstance(catalogue.get("crew-cab-pickup-with-cap"), BodyPart)
    assert catalogue.get("no-such-lamp") is None
    assert len(catalogue.of_kind("lamp")) >= 8
    assert len(catalogue.names()) >= 20
    assert catalogue.names() == tuple(sorted(catalogue.names()))
    assert catalogue.findings == ()


def test_only_parts_that_are_asked_for_are_read(monkeypatch: pytest.MonkeyPatch) -> None:
    """Law: a job pays for the parts it uses, and for each once per process."""
    read: list[str] = []
    whole = store.read_part

    def counted(text: str, *, file: str) -> store.PartRead:
        read.append(file)
        return whole(text, file=file)

    monkeypatch.setattr(store, "_read", store.lru_cache(maxsize=8)(counted))
    catalogue = load_catalogue()
    catalogue.get("speaker")
    catalogue.get("speaker")
    load_catalogue().get("speaker")

    assert read == ["parts/data/speaker.yaml"]


def test_a_folder_that_is_not_there_is_no_shop(tmp_path: Path) -> None:
    """Most jobs have no parts of their own."""
    assert load_catalogue(shop_folder=tmp_path / "parts").digest == load_catalogue().digest


def test_a_shop_adds_a_part(tmp_path: Path) -> None:
    """One file more is one part more, also in a folder below; the marks name the file as it was given."""
    catalogue = shop(tmp_path, our_speaker=speaker("our-speaker"), horns__loud_one=speaker("loud-one"))

    assert codes(catalogue) == []
    assert isinstance(catalogue.get("our-speaker"), SpeakerPart)
    assert isinstance(catalogue.get("loud-one"), SpeakerPart)
    assert catalogue.digest != load_catalogue().digest
    assert catalogue.entries["loud-one"].file == str(tmp_path / "horns" / "loud-one.yaml")


def test_a_shop_replaces_one_of_ours_only_when_it_says_so(tmp_path: Path) -> None:
    """Two parts of one name: nobody should find out from the result which one was used."""
    silent = shop(tmp_path / "a", speaker=speaker("speaker", power="55 W"))
    said = shop(tmp_path / "b", speaker=speaker("speaker", more="replaces: yes\n", power="55 W"))
    part = said.get("speaker")

    assert codes(silent) == ["PRT-005"]
    assert silent.get("speaker") is None
    assert codes(said) == []
    assert isinstance(part, SpeakerPart)
    assert part.power == 55.0


def test_replacing_nothing_is_told(tmp_path: Path) -> None:
    """A name mistyped would leave the old figures in use."""
    catalogue = shop(tmp_path, speeker=speaker("speeker", more="replaces: yes\n"))

    assert codes(catalogue) == ["PRT-015"]
    assert catalogue.findings[0].where[0].line == 4


def test_name_and_file_name_are_one(tmp_path: Path) -> None:
    """A part is found by its file."""
    assert codes(shop(tmp_path / "a", horn=speaker("bell"))) == ["PRT-006"]
    assert codes(shop(tmp_path / "b", Horn=speaker("horn"))) == ["PRT-006"]


def test_one_part_in_two_folders_is_told(tmp_path: Path) -> None:
    """Both are left out: which one is meant isn't said."""
    catalogue = shop(tmp_path, a__horn=speaker("horn"), b__horn=speaker("horn", power="20 W"))

    assert codes(catalogue) == ["PRT-004"]
    assert catalogue.get("horn") is None


def test_a_broken_file_names_its_line_and_hides_ours(tmp_path: Path) -> None:
    """Figures meant to replace ours must not fall back to ours in silence."""
    catalogue = shop(tmp_path, speaker=speaker("speaker", more="replaces: yes\n", power="80"))

    assert codes(catalogue) == ["BLD-004"]
    assert str(catalogue.findings[0].where[0]) == f"{tmp_path / 'speaker.yaml'}:6:8"
    assert catalogue.get("speaker") is None


def test_links_out_of_the_folder_are_refused(tmp_path: Path) -> None:
    """A folder somebody sends can't make us read another one."""
    outside = tmp_path / "outside.yaml"
    outside.write_text(speaker("horn"))
    folder = tmp_path / "parts"
    folder.mkdir()
    (folder / "horn.yaml").symlink_to(outside)
    (folder / "more").symlink_to(tmp_path)
    catalogue = load_catalogue(shop_folder=folder)

    assert codes(catalogue) == ["PRT-002", "PRT-002"]
    assert catalogue.get("horn") is None


def test_links_inside_the_folder_are_followed_but_never_in_a_circle(tmp_path: Path) -> None:
    """A link to a folder it lies in would never end."""
    folder = tmp_path / "parts"
    (folder / "deep").mkdir(parents=True)
    (folder / "horn.yaml").write_text(speaker("horn"))
    (folder / "deep" / "back").symlink_to(folder)
    (folder / "self.yaml").symlink_to("self.yaml")
    catalogue = load_catalogue(shop_folder=folder)

    assert sorted(codes(catalogue)) == ["PRT-003", "PRT-007"]
    assert catalogue.get("horn") is not None


def test_what_is_no_plain_text_is_refused(tmp_path: Path) -> None:
    """Too large, not UTF-8, a pipe nobody writes to, a folder too deep: each is said, none is waited for."""
    (tmp_path / "large.yaml").write_bytes(b"#" * 2_000_000)
    (tmp_path / "odd.yaml").write_bytes(b"kind: speaker\nname: \xff")
    os.mkfifo(tmp_path / "pipe.yaml")
    (tmp_path / "/".join("abcdefghij"[: MOST_DEPTH + 2])).mkdir(parents=True)
    catalogue = load_catalogue(shop_folder=tmp_path)

    assert sorted(codes(catalogue)) == ["PRT-001", "PRT-007", "PRT-007", "PRT-014"]


def test_many_ways_to_one_folder_come_to_an_end(tmp_path: Path) -> None:
    """Law: links between folders make more ways than there are folders; the walk is bounded, and says so once."""
    for name in "abcdefgh":
        (tmp_path / name).mkdir()
    for name in "abcdefgh":
        for other in "abcdefgh":
            if name != other:
                (tmp_path / name / f"to-{other}").symlink_to(tmp_path / other)
    catalogue = load_catalogue(shop_folder=tmp_path)

    told = [each.name for each in catalogue.findings]
    assert told.count("folder-too-large") == 1
    assert len(told) <= folder.MOST_FINDINGS + 1
    assert set(told) <= {"links-in-a-circle", "folder-too-deep", "folder-too-large"}


@pytest.mark.parametrize("bound", ["MOST_FILES", "MOST_FOLDERS", "MOST_ENTRIES", "MOST_BYTES"])
def test_a_folder_of_too_much_is_told_and_not_used(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, bound: str) -> None:
    """Case: thousands of files, folders, other files or characters (here: four); the same on every machine."""
    for name in ("a-horn", "b-horn", "c-horn", "d-horn"):
        (tmp_path / f"in-{name}").mkdir()
        (tmp_path / f"{name}.yaml").write_text(speaker(name))
    monkeypatch.setattr(folder, bound, 2 * len(speaker("a-horn")) + 5 if bound == "MOST_BYTES" else 3)
    catalogue = load_catalogue(shop_folder=tmp_path)

    assert codes(catalogue) == ["PRT-014"]
    assert (catalogue.get("a-horn") is not None) is (bound == "MOST_BYTES")
    assert catalogue.get("d-horn") is None


def test_a_folder_that_cannot_be_listed_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Case: no permission; the other folders are read."""
    (tmp_path / "closed").mkdir()
    (tmp_path / "horn.yaml").write_text(speaker("horn"))
    real = os.scandir

    def scandir(path: Path) -> object:
        if Path(path).name == "closed":
            raise PermissionError(13, "Permission denied")
        return real(path)

    monkeypatch.setattr(os, "scandir", scandir)
    catalogue = load_catalogue(shop_folder=tmp_path)

    assert codes(catalogue) == ["PRT-007"]
    assert catalogue.get("horn") is not None


@pytest.mark.parametrize("device", ["/dev/zero", "/dev/stdin", "/dev/null"])
def test_a_device_is_no_part(tmp_path: Path, device: str) -> None:
    """Case: a link to a device leads out of the folder, and is not opened."""
    (tmp_path / "horn.yaml").symlink_to(device)

    assert codes(load_catalogue(shop_folder=tmp_path)) == ["PRT-002"]


def test_other_files_are_left_alone(tmp_path: Path) -> None:
    """Sheets and photographs lie beside the parts."""
    (tmp_path / "sheet.pdf").write_bytes(b"%PDF")
    (tmp_path / "notes.txt").write_text("call them")

    assert load_catalogue(shop_folder=tmp_path).findings == ()


def test_trouble_of_ours_is_the_program_s() -> None:
    """A file of ours that doesn't load is no fault of the lead's; the text says where it is."""
    entry = Entry("horn", "parts/data/horn.yaml", speaker("horn", power="80"), ours=True)

    with pytest.raises(DataWrong, match=r"parts/data/horn\.yaml:5:8"):
        Catalogue({"horn": entry}).get("horn")


@given(st.dictionaries(st.sampled_from(["horn", "bell", "gong"]), st.sampled_from(["80 W", "90 W"])))
def test_the_digest_is_of_what_is_written(powers: dict[str, str]) -> None:
    """Law: equal texts have one digest in any order; one figure changed is another."""
    entries = {
        name: Entry(name, f"{name}.yaml", speaker(name, power=power), ours=False) for name, power in powers.items()
    }
    other = {name: Entry(name, "elsewhere", entries[name].text, ours=False) for name in reversed(entries)}
    changed = {**entries, "drum": Entry("drum", "drum.yaml", speaker("drum"), ours=False)}

    assert store._catalogue(entries, ()).digest == store._catalogue(other, ()).digest
    assert store._catalogue(changed, ()).digest != store._catalogue(entries, ()).digest
