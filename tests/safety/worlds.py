"""A folder with studies and earlier results in which commands are run and stopped, and what it may look like then."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from tco.journal import left_in
from tco.whole import mend
from tests import hostile
from tests.safety.runs import Ended, Files, Warm, again, contents, litter
from tests.studies import LEDGER, WHOLE, write_study
from tests.test_reprice_charges import CHARGES, HOLIDAYS, HOME, HOURS, OFFERS, TARIFFS

EARLIER = ("--price", "0.44 EUR/kWh", "--from", "2027-05")
PRICE = ("--price", "0.55 EUR/kWh", "--from", "2027-03")
NEW = tuple(word for name in OFFERS for word in ("--tariff", name))
COMMANDS: dict[str, tuple[str, ...]] = {
    "compare": ("compare", "other", "--out", "compared", "--html"),
    "reprice --write": ("reprice", "billed", *NEW, "--out", "written", "--write"),
    "reprice": ("reprice", "one", *PRICE, "--out", "copied"),
    "simulate": ("simulate", "one", "--draws", "200", "--out", "drawn"),
    "new": ("new", "begun", "--room", "2", "--build", "minis", "--no-questions"),
    "track": ("track", "kept", "--out", "tracked"),
}
PREPARED = (  # earlier results, each of something else than the command above is asked for
    ("compare", "one", "--out", "compared", "--html"),
    ("reprice", "one", *EARLIER, "--out", "written"),
    ("reprice", "one", *EARLIER, "--out", "copied"),
    ("simulate", "other", "--draws", "200", "--out", "drawn"),
    ("track", "kept before", "--out", "tracked"),
)
CHANGED = ("one", "other", "billed", "kept", "kept before", "compared", "written", "copied", "drawn", "tracked")


@dataclass(frozen=True)
class World:
    """A command, the folder before it, what is in the folder before and after it, how long it takes [s]."""

    words: tuple[str, ...]
    start: Path
    before: Files
    after: Files
    ended: Ended
    warm: Warm

    def fresh(self) -> Path:
        """The folder as it was before."""
        return again(self.start, self.start.with_name("at work"))


def begin(folder: Path) -> Path:
    """The folder with its studies, no results in it yet."""
    folder.mkdir()
    hostile.study(folder / "one", ("small", "large"), question="Which one?", months=12)
    hostile.study(folder / "other", ("small", "large"), question="Which one?", months=12, scale=1.25)
    billed = hostile.study(
        folder / "billed", ("small", "large"), question="Which one?", months=12,
        tariffs=TARIFFS, charges=CHARGES, hours=HOURS, holidays=HOLIDAYS, home=HOME,
    )  # fmt: skip
    table = billed / "scenarios.csv"
    table.write_text(table.read_text(encoding="utf-8").replace(",flat", ",household"), encoding="utf-8")
    for name, text in OFFERS.items():
        (folder / name).write_text(text.replace("2028-03", "2027-03"), encoding="utf-8", newline="")
    for name, ledger in {"kept": LEDGER, "kept before": LEDGER.replace(",402,", ",450,")}.items():
        short = {"study": ("horizon,5 years", "horizon,37 months"), "one_offs": None, "ledger": ledger}
        write_study(folder / name, **{**WHOLE, **short})
    return folder


def worlds(work: Path) -> tuple[Warm, dict[str, World]]:
    """Every command with its folder, and the process that runs them."""
    start = begin(work / "start")
    trial = again(start, work / "trial")
    every = [*PREPARED, *COMMANDS.values()]
    warm = Warm(work, [[absolute(word, trial) for word in words] for words in every])
    try:
        for words in PREPARED:
            ran = warm.run(words, start)
            assert ran.code == 0, ran
        shutil.rmtree(start / "temporary")
        return warm, {name: world(warm, words, start) for name, words in COMMANDS.items()}
    except BaseException:
        warm.close()
        raise


def absolute(word: str, folder: Path) -> str:
    """A word that names something in a folder, with the folder."""
    return str(folder / word) if word in (*CHANGED, *OFFERS, "begun") else word


def world(warm: Warm, words: tuple[str, ...], start: Path) -> World:
    """A command with its folder; it is run twice, and its time is that of the second run."""
    folder = start.with_name("at work")
    for _ in range(2):
        ended = warm.run(words, again(start, folder))
        assert ended.code == 0, ended
        assert not litter(folder)
    before, after = contents(start), contents(folder)
    assert before != after
    return World(words, start, before, after, ended, warm)


def without_litter(found: Files) -> Files:
    """What a folder holds beside what a killed run left."""
    return {name: content for name, content in found.items() if ".tco-" not in name and "temporary/" not in name}


def check_stopped(own: World, folder: Path, ended: Ended) -> str:
    """After a run that ended by itself: all old or all new, nothing left over, one sentence. Says which."""
    assert not litter(folder), ended
    assert "Traceback" not in ended.wrong, ended
    found = contents(folder)
    assert found in (own.before, own.after), (ended, different(own, found))
    if ended.code == 0:
        assert found == own.after
        assert ended.wrong == ""
        return "done"
    assert ended.told == "" or found == own.after
    assert len(ended.wrong.splitlines()) == 1, ended
    if "nothing was written" in ended.wrong:
        assert found == own.before
    return "old" if found == own.before else "new"


def check_killed(own: World, folder: Path, *, run_again: bool) -> str:
    """After a run that was killed: all old or all new once anybody has looked. Says which it was before that."""
    found = without_litter(contents(folder))
    mixed = found not in (own.before, own.after)
    places = [folder / name for name in CHANGED if (folder / name).is_dir()]
    assert not mixed or any(left_in(place) for place in places), different(own, found)
    for place in places:
        mend(place)
    assert not any(left_in(place) for place in places)
    mended = without_litter(contents(folder))
    assert mended in (own.before, own.after), different(own, mended)
    if run_again:
        check_again(own, folder)
    return "mixed" if mixed else "old" if found == own.before else "new"


def check_again(own: World, folder: Path) -> None:
    """The same command once more comes to the same end, and nothing is left over but a folder not asked for."""
    shutil.rmtree(folder / "temporary", ignore_errors=True)
    was_done = without_litter(contents(folder)) == own.after
    ended = own.warm.run(own.words, folder)
    if own.words[0] == "new" and was_done:
        assert (ended.code, "is not empty, so it is left alone" in ended.wrong) == (2, True)
    else:
        assert (ended.code, ended.wrong) == (0, "")
        assert was_done or own.words[0] == "new" or not litter(folder)
    assert without_litter(contents(folder)) == own.after


def different(own: World, found: Files) -> list[str]:
    """Each file with whether it is the old one or the new one, for messages."""
    return [
        f"{name}: {'old' if found.get(name) == own.before.get(name) else ''}"
        f"{'new' if found.get(name) == own.after.get(name) else ''}"
        for name in sorted({*own.before, *own.after, *found})
        if own.before.get(name) != own.after.get(name) or name not in own.before
    ]


def results(words: Sequence[str]) -> str:
    """The folder that a command's results go to."""
    return words[words.index("--out") + 1]
