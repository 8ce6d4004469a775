"""Single calculations of glass, colour and film, as somebody types them: printed cases through the door."""

import pytest

from coachwright.cli.reckon_door import reckon
from coachwright.kit.reckoner import InputRefused


def test_pane_at_60_degrees_agrees_with_fresnel() -> None:
    """n = 1.52 at 60 deg: 0.09248, 0.84347, and glass marked 70 % lets 0.6027 through (Fresnel, by hand)."""
    done = reckon("glass", ["angle=60 deg", "index=1.52", "transmittance=70 %"])

    assert done.value("face_reflectance") == pytest.approx(0.09248, abs=6e-6)
    assert done.value("clear_transmittance") == pytest.approx(0.84347, abs=6e-6)
    assert done.value("transmittance") == pytest.approx(0.6027, abs=6e-5)


@pytest.mark.parametrize(("film", "expected"), [("5 %", 0.035), ("35 %", 0.245)])
def test_film_on_glass_multiplies(film: str, expected: float) -> None:
    """5 % film on 70 % glass is 3.5 %, 35 % is 24.5 % (by hand: shares of light multiply)."""
    done = reckon("glass", ["angle=0 deg", "transmittance=70 %", f"film={film}"])

    assert done.value("transmittance") == pytest.approx(expected)


def test_clear_glass_when_nothing_is_said() -> None:
    """2 n/(n^2 + 1) straight on (Fresnel): 0.91832 for window glass, tint or no tint given."""
    done = reckon("glass", ["angle=0 deg"])

    assert done.value("transmittance") == done.value("clear_transmittance") == pytest.approx(0.91832, abs=6e-6)
    assert reckon("glass", ["angle=90 deg"]).value("transmittance") == pytest.approx(0.0, abs=1e-12)


def test_what_does_not_get_through_clear_glass_comes_back() -> None:
    """n = 1.52 at 60 deg: slab 0.84347, so 0.15653 comes back; 5 % film leaves hardly more than one face, 0.09248."""
    clear = reckon("glass", ["angle=60 deg"])
    filmed = reckon("glass", ["angle=60 deg", "film=5 %"])

    assert clear.value("reflectance") == pytest.approx(0.15653, abs=6e-6)
    assert filmed.value("reflectance") == pytest.approx(0.09248, rel=3e-3)


def test_glass_brighter_than_its_faces_is_refused() -> None:
    """Law: two faces of n = 1.52 pass 91.8 % at most."""
    with pytest.raises(InputRefused, match=r"91\.8 %.*Write less"):
        reckon("glass", ["angle=0 deg", "transmittance=95 %"])


def test_chromaticity_of_a_red_light_agrees_with_49_cfr_571_108() -> None:
    """x = 0.69, y = 0.305: below 0.33 and above 0.98 - x = 0.29 (S14.4.1.4.2.1); not amber, for y is below 0.39."""
    results = reckon("chromaticity", ["x=0.69", "y=0.305"]).as_json()["results"]

    assert results["us-108 red"] == {"value": "yes", "unit": "yes/no", "status": "read"}
    assert results["us-108 amber"] == {"value": "no", "unit": "yes/no", "status": "read", "boundary": "red boundary"}
    assert results["un-65 blue"]["status"] == "draft"


def test_every_standard_that_answers_is_named() -> None:
    """Law: a yes without its source says nothing; those not read say so."""
    sources = reckon("chromaticity", ["x=0.3", "y=0.3"]).as_json()["sources"]

    assert [source["state"] for source in sources] == ["read", "draft", "draft", "draft"]
    assert "571.108" in sources[0]["title"]


def test_colours_no_light_has_are_refused_or_noted() -> None:
    """Law: x and y add up to 1 at most; outside the spectral locus a reading is doubtful and inside nothing."""
    with pytest.raises(InputRefused, match="at most 1"):
        reckon("chromaticity", ["x=0.7", "y=0.4"])
    done = reckon("chromaticity", ["x=0.02", "y=0.1"])

    assert "spectral locus" in done.notes[0]
    assert {result["value"] for result in done.as_json()["results"].values()} == {"no"}


def test_a_patch_of_tape_agrees_with_49_cfr_571_108() -> None:
    """DOT-C2 white at 0.2/-4 deg: 250 cd/lx/m2 (Table XVI-c) x 50 mm x 300 mm = 3.75 cd/lx."""
    texts = ["film=dot-c2", "width=50 mm", "height=300 mm", "observation=0.2 deg", "entrance=-4 deg"]
    done = reckon("retroreflection", texts)

    assert done.value("intensity_per_lux") == pytest.approx(3.75)
    assert done.as_json()["results"]["intensity_per_lux"]["unit"] == "cd/lx"
    assert reckon("retroreflection", [*texts, "colour=red"]).value("coefficient") == pytest.approx(60)


@pytest.mark.parametrize(
    ("change", "says"),
    [("film=dot-c5", "Did you mean"), ("colour=mauve", "white, red"), ("entrance=10 deg", "Write one of")],
)  # fmt: skip
def test_film_that_isnt_tabulated_is_refused(change: str, says: str) -> None:
    """Law: the refusal names what there is."""
    texts = {"film": "dot-c2", "width": "50 mm", "height": "300 mm", "observation": "0.2 deg", "entrance": "-4 deg"}
    texts |= dict([change.split("=")])
    with pytest.raises(InputRefused, match=says):
        reckon("retroreflection", [f"{key}={text}" for key, text in texts.items()])
