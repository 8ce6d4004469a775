"""The contract in the proof book, read back."""

import io
import re
from pathlib import Path

import pypdf
import pytest

from coachwright.papers.contract_rows import NOTE, contract_tables
from coachwright.papers.proofbook import proof_book
from coachwright.proof.verdict import Verdict
from tests.papers.made import BY_HAND, verdict
from tests.proof.made import pack
from tests.proof.test_matrix import judged


@pytest.fixture
def small_job(tmp_path: Path) -> Verdict:
    """A job with the contract of docs/how-to-write-a-contract.md."""
    return judged(tmp_path)


def pages_of(pdf: bytes) -> str:
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(pdf)).pages]
    return re.sub(r"\s+", " ", " ".join(pages).replace("\u200b", ""))


def test_every_clause_stands_in_the_book_in_its_order(small_job: Verdict) -> None:
    """Law: clause, requirement, state in word and sign, what is asked for; what is open at the end."""
    said = pages_of(proof_book(small_job, asked=BY_HAND))
    section = said[said.rindex("Compliance with the contract") : said.rindex("Every rule judged")]

    assert said.count("Compliance with the contract") == 2, "in the contents, and over the section"
    for table in contract_tables(small_job):
        places = [section.index(row["asks"]) for row in table["rows"]]
        assert places == sorted(places)
        for row in table["rows"]:
            assert row["state"]["word"] in section
            assert row["value"] in section
        assert section.index("Still open") > places[-1]
    assert "needs the signature of the customer" in section
    assert NOTE in section


def test_open_is_never_green(small_job: Verdict) -> None:
    """Law: only pass is green; an open clause has its own ink, word and sign."""
    looks = {row["by"]: row["state"] for table in contract_tables(small_job) for row in table["rows"]}

    assert {looks[way]["word"] for way in ("bench", "photo", "signature")} == {"open"}
    assert {looks[way]["ink"] for way in ("bench", "photo", "signature")} == {"#27506b"}


def test_a_job_without_a_contract_has_no_such_section() -> None:
    """Case: neither in the contents nor in the book."""
    plain = verdict()

    assert contract_tables(plain) == []
    assert "Compliance with the contract" not in pages_of(proof_book(plain, asked=BY_HAND))


def test_a_hostile_clause_is_set_as_text() -> None:
    """Law: what a customer's contract says is text on paper, never markup."""
    hostile = '#panic("x") *b* $sum$ \u202e<script>'
    told = verdict()
    odd = pack(*told.packs[0].rules, name=told.packs[0].pack, status="contract", note=hostile)
    said = pages_of(proof_book(verdict(packs=(odd, *told.packs[1:])), asked=BY_HAND))

    assert "<script>" in said
    assert "#panic" in said
