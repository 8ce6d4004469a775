"""Setting a paper."""

import subprocess
import sys

import pypdf
import pytest

from coachwright.papers import engine
from coachwright.papers.engine import PaperNotMade, font_folder, set_paper


def test_a_template_that_breaks_is_a_plain_error(monkeypatch: pytest.MonkeyPatch) -> None:
    """Case: a fault of ours says so in words, and is no traceback of typst."""
    monkeypatch.setattr(engine, "_template", lambda name: '#panic("broken")')
    with pytest.raises(PaperNotMade, match="fault of the program"):
        set_paper("proofbook.typ", {}, day="2026-11-25")


def test_data_is_text_and_never_markup(monkeypatch: pytest.MonkeyPatch, tmp_path) -> None:  # type: ignore[no-untyped-def]
    """Law: what looks like a command of typst is printed."""
    monkeypatch.setattr(
        engine,
        "_template",
        lambda name: (
            ""
            if name == "paper.typ"
            else '#let d = json(bytes(sys.inputs.data))\n#set text(font: "Source Sans Pro")\n#d.said'
        ),
    )
    path = tmp_path / "a.pdf"
    path.write_bytes(set_paper("x", {"said": "#panic() $x$ *b* <l> @r"}, day="2026-11-25"))

    assert pypdf.PdfReader(path).pages[0].extract_text().strip() == "#panic() $x$ *b* <l> @r"


def test_the_typeface_is_embedded_and_comes_from_its_package() -> None:
    """Law: no font of the machine is used."""
    assert font_folder().parts[-2:] == ("font_source_sans_pro", "files")


def test_looking_at_the_registry_imports_no_typst() -> None:
    """Law of the house: heavy imports only when they are used."""
    said = (
        "import sys, coachwright.papers.registry; print(*(name in sys.modules for name in ('typst', 'numba', 'scipy')))"
    )
    done = subprocess.run([sys.executable, "-c", said], check=True, capture_output=True, text=True)

    assert done.stdout.split() == ["False", "False", "False"]
