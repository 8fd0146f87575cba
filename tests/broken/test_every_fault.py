"""Every kind of fault in every table and column is told at its place, with its reason, and nothing else is told.

The cases are made from what the reader declares (spots.py), so that a new column is covered by itself; see cases.py.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from itertools import chain
from pathlib import Path

import pytest

from tco.errors import StudyError
from tco.read import load
from tco.read.log_rows import LogRow
from tco.study import Row
from tests.broken import cases
from tests.broken.cases import NAMING, REFERENCES, Case
from tests.broken.good import STUDIES
from tests.broken.spots import EXTRA, declared, sheets, spots

LEAST_KINDS = 4  # of faults that each column is tried with, its header's included
AT_MOST = 40  # failures that a test prints


@cache
def corpus() -> tuple[Case, ...]:
    """All cases."""
    made = cases.in_cells, cases.in_later_rows, cases.in_references, cases.in_headers, cases.in_tables
    return tuple(chain.from_iterable(each() for each in made))


def problems(folder: Path, broken: Iterable[Case]) -> list[tuple[str, str]]:
    """What loading a good study tells when some of its files are broken; the files are put right again."""
    files = {folder / case.file: case.content for case in broken}
    good = {path: path.read_bytes() for path in files}
    try:
        for path, content in files.items():
            path.write_bytes(content)
        load(folder, EXTRA)
    except StudyError as error:
        return [(str(place), message) for place, message in error.found]
    finally:
        for path, content in good.items():
            path.write_bytes(content)
    return []


def is_told(case: Case, found: Sequence[tuple[str, str]]) -> bool:
    """Whether a problem is told at the case's place with all of its words."""
    messages = [message.casefold() for place, message in found if place == case.place]
    return any(all(word.casefold() in message for word in case.words) for message in messages)


def rounds(of_study: Sequence[Case]) -> Iterator[list[Case]]:
    """Cases that may be tried at once, those that hide no other: one of each file."""
    pure = [case for case in of_study if case.is_pure]
    by_file: dict[str, list[Case]] = {}
    for case in pure:
        by_file.setdefault(case.file, []).append(case)
    for number in range(max(map(len, by_file.values()))):
        yield [own[number] for own in by_file.values() if number < len(own)]
    yield from ([case] for case in of_study if not case.is_pure)


def failures(folder: Path, tried: Sequence[Case]) -> Iterator[str]:
    """What is wrong with what is told of some cases at once."""
    found = problems(folder, tried)
    places = {case.place for case in tried}
    more = [one for one in found if one[0] not in places] if all(case.alone for case in tried) else []
    twice = len(found) > len(tried) and all(case.alone for case in tried)
    if not more and not twice and all(is_told(case, found) for case in tried):
        return
    if len(tried) > 1:
        yield from chain.from_iterable(failures(folder, [case]) for case in tried)
    else:
        yield f"{tried[0].name}: wanted {tried[0].place} {tried[0].words}, found {found[:4]}"


@pytest.fixture(scope="module")
def folders(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Path]:
    """The good studies, each in its folder."""
    root = tmp_path_factory.mktemp("studies")
    for study in STUDIES:
        (root / study).mkdir()
        for file, own in sheets(study).items():
            (root / study / file).write_text(own.text, encoding="utf-8", newline="")
    return {study: root / study for study in STUDIES}


@pytest.mark.parametrize("study", STUDIES)
def test_the_studies_are_good(folders: Mapping[str, Path], study: str) -> None:
    assert problems(folders[study], []) == []


@pytest.mark.parametrize("study", STUDIES)
def test_each_fault_is_told_at_its_place_and_alone(folders: Mapping[str, Path], study: str) -> None:
    mine = [case for case in corpus() if case.study == study]
    wrong = list(chain.from_iterable(failures(folders[study], tried) for tried in rounds(mine)))
    assert not wrong, f"{len(wrong)} of {len(mine)}:\n" + "\n".join(wrong[:AT_MOST])


def test_no_two_cases_are_alike() -> None:
    count = Counter((case.study, case.file, case.content) for case in corpus())
    assert len(corpus()) > 3000
    assert not [key[:2] for key, number in count.items() if number > 1]


def test_every_declared_column_is_tried_with_several_kinds_of_fault() -> None:
    kinds: dict[tuple[type[Row], str], set[str]] = {}
    of_file = {(spot.study, spot.sheet.file, spot.field): (spot.kind, spot.field) for spot in spots()}
    for case in corpus():
        if case.field:
            kinds.setdefault(of_file[case.study, case.file, case.field], set()).add(case.kind)
    few = {
        (kind.__name__, name): sorted(kinds.get((kind, name), ()))
        for kind, name, _ in declared()
        if len(kinds.get((kind, name), ())) < LEAST_KINDS and not (kind is LogRow and name in ("source", "note"))
    }
    assert not few


def test_every_name_is_known_as_a_reference_or_as_naming() -> None:
    names = {(kind, name) for kind, name, cell in declared() if cell.kind == "name"}
    assert names == REFERENCES.keys() | NAMING
    assert not REFERENCES.keys() & NAMING
