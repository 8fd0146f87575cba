"""Studies whose names, texts and sizes are as awkward as a study allows: for pages and screens that people read."""

from __future__ import annotations

from pathlib import Path

from tests.studies import write_study

SCRIPT = "<script>alert(1)</script>"
NAMES = (
    SCRIPT,
    "\"quoted\" & 'single' &amp; <b>",
    "شبكة التخزين المنزلية",
    "Donaudampfschifffahrtsgesellschaftskapitänsspeicherverbund" * 2,
    "家庭用ストレージクラスターの比較",
    "{{ 7 * 7 }} {% if x %}",
    "x",
)
TEXTS = "</style></title><img src=x onerror=alert(1)> ]]> --> \"'"
STUDY = """setting,value,source,note
question,{question},"{texts}","{texts}"
currency,{currency},,
start,2026-12,,
horizon,{months} months,,
time zone,Europe/Vienna,,
discount,3 %,"{script}","{script}"
"""
EMPTY = dict.fromkeys(("minis", "servers", "nodes", "failures", "resale", "exchange", "one_offs", "fees"))


def quoted(text: str) -> str:
    """A cell of a CSV file."""
    return '"' + text.replace('"', '""') + '"'


def study(
    folder: Path, names: tuple[str, ...] = NAMES, *, question: str = TEXTS, currency: str = "EUR", months: int = 60,
    scale: float = 1.0, **more: str
) -> Path:  # fmt: skip
    """A study of boxes, one a scenario, with those names; the first is the baseline. scale: of all amounts."""
    settings = STUDY.format(
        question=quoted(question), texts=TEXTS.replace('"', '""'), script=SCRIPT, currency=currency, months=months
    )
    rows = [
        f"{quoted(name)},{quoted(TEXTS)},{'' if number else 'yes'},list{number}.csv,flat"
        for number, name in enumerate(names)
    ]
    lists = {
        f"list{number}": "part,quantity,price,idle,failures,source\n"
        f"{quoted(SCRIPT)},{number + 1},{scale * (100 + 37 * number):.2f} {currency},{5 + number} W,curve,"
        f"{quoted(TEXTS)}\n"
        for number in range(len(names))
    }
    tables = {
        **EMPTY, **lists, "study": settings,
        "scenarios": "scenario,title,baseline,parts list,tariff\n" + "\n".join(rows) + "\n",
        "tariffs": f"tariff,start,price\nflat,2026-01,{scale * 0.25:.4f} {currency}/kWh\n",
        "failures": "curve,age,rate\ncurve,0 years,3 %/year\n",
    }  # fmt: skip
    return write_study(folder, **{**tables, **more})
