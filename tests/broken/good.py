"""Two good studies that fill every column of every table; all of it invented.

Their numbers are whole, so that nothing in a file tells which sign is its decimal one. Each first row has a note of
two lines, so that rows and lines of the file differ.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence

Tables = Mapping[str, str]  # file -> its text

SOURCED = {"source": "invented", "note": "as it was\nlast year"}


def table(text: str) -> str:
    """A CSV table of rows such as `part: mini PC | price: 129 EUR`, a line each; the first has source and note."""
    rows = [dict(cell.split(": ", 1) for cell in line.split(" | ")) for line in text.strip().splitlines()]
    rows[0] |= SOURCED
    own = dict.fromkeys(name.strip() for row in rows for name in row if name not in SOURCED)
    columns = [*own, *SOURCED]
    return written([columns, *([row.get(name, "").strip() for name in columns] for row in rows)])


def written(rows: Sequence[Sequence[str]]) -> str:
    """Rows of cells as CSV."""
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerows(rows)
    return out.getvalue()


def named(word: str, text: str) -> str:
    """A table of one thing a row, such as `currency: EUR`."""
    return table("\n".join(f"{word}: {line.replace(': ', ' | value: ', 1)}" for line in text.strip().splitlines()))


FAILURES = table("""
curve: drives | age: 0 years | rate: 1 %/year
curve: drives | age: 4 years | rate: 3 %/year
curve: small things | age: 0 years | chance: 1 %
""")
RESALE = table("""
curve: fair | base: own price | age: 0 years | share: 80 %
curve: fair | base: own price | age: 3 years | share: 40 %
curve: fair | base: own price | age: 8 years | share: 10 %
""")
STORED: Tables = {
    "study.csv": named("setting", """
question: Which storage for our flat?
currency: EUR
start: 2026-12
horizon: 2 years
time zone: Europe/Vienna
money: real
inflation: 2 %
discount: 3 %
timing: month-end
growth step: month
electricity growth: 2 %
other growth: 1 %
tax: 20 %
hour value: 15 EUR/h
selling share: 10 %
owned gear: cost
data held: 4 TB
data growth: 10 %
data added: 1 TB/year
system takes: 20 %
spares confidence: 90 %
spares lead time: 7 d
resale level: 100 %
"""),
    "scenarios.csv": table("""
scenario: minis | title: three small computers | baseline: yes | parts list: minis.csv | tariff: household | \
busy share: 10 % | upkeep: 1 h/month | site: hall | power factor: 1 | one client link: 2 Gbit/s | voting nodes: 3 | \
backup elsewhere: yes
scenario: servers | title: two old servers | parts list: servers.csv | tariff: household | busy share: 5 % | \
upkeep: 2 h/month
scenario: rented | backup elsewhere: no
"""),
    "minis.csv": table("""
part: mini PC | node: mini | quantity: 3 | price: 129 EUR | tax: added | shipping: 6 EUR | idle: 9 W | busy: 28 W | \
failures: small things | price trend: -5 % | resale: fair | selling cost: 7 EUR | disposal: 3 EUR | \
warranty: 2 years | claim: 9 EUR | provides: 2 bay + 1 M.2 + 16 GB memory + 90 W supply | needs: 1 port | \
noise idle: 20 dB(A) | \
noise busy: 25 dB(A) | noise as: pressure | noise distance: 1 m | weight: 2 kg
part: drive 8 TB | node: mini | quantity: 3 | price: 99 EUR | leaves: 18 | age: 2 years | idle: 5 W | busy: 8 W | \
failures: drives | replaced by: drive 8 TB new | price path: drives by the year | pool: main | capacity: 8 TB | \
read: 200 MB/s | write: 190 MB/s | system: yes | needs: 1 bay + 12 W supply
part: drive 8 TB new | node: mini | quantity: 0 | price: 180 EUR | busy: 8 W | failures: drives | capacity: 8 TB
part: drive 8 TB later | node: mini | quantity: 3 | price: 120 EUR | bought: 18 | idle: 5 W | busy: 8 W | \
pool: main | capacity: 8 TB | read: 200 MB/s | write: 190 MB/s
part: fast drive | node: mini | quantity: 3 | price: 60 EUR | idle: 1 W | busy: 3 W | pool: fast | capacity: 1 TB | \
read: 500 MB/s | write: 450 MB/s | endurance: 600 TB | written before: 80 TB | written: 5 GB/d | needs: 1 M.2
part: log drive | quantity: 1 | price: 90 EUR | endurance: 900 TB | takes first: main
part: UPS | quantity: 1 | price: 140 EUR | life: 4 years
part: switch | quantity: 1 | price: 45 EUR | idle: 4 W | provides: 8 port
part: switch, 16 ports | quantity: 0 | price: 90 EUR | idle: 6 W | provides: 16 port
"""),
    "servers.csv": table("""
part: server | node: rack | quantity: 2 | price: 0 EUR | fetches today: 40 EUR | idle: 80 W | busy: 140 W | \
resale: fair | age: 1 year
part: drive 4 TB | node: rack | quantity: 8 | price: 30 EUR | idle: 6 W | busy: 9 W
"""),
    "nodes.csv": table("""
scenario: minis | node: mini | count: 3 | client link: 2 Gbit/s | replication link: 10 Gbit/s
scenario: servers | node: rack | count: 2 | measured idle: 120 W | measured busy: 190 W
"""),
    "tariffs.csv": table("""
tariff: household | start: 2026-01 | price: 1 EUR/kWh | growth: 2 %
tariff: household | start: 2027-07 | price: 2 EUR/kWh | path: forecast
"""),
    "fees.csv": table("""
scenario: rented | fee: storage | amount: 4 EUR/month | amount per TB: 5 EUR/TB/month | first: 1 | last: 20 | \
growth: 3 %
scenario: rented | fee: transfer | amount: 1 EUR/month | path: forecast
"""),
    "one_offs.csv": table("""
scenario: servers | what: a lockable rack | month: 0 | amount: 120 EUR
scenario: servers | what: rack sold | month: 24 | amount: -40 EUR
"""),
    "failures.csv": FAILURES,
    "resale.csv": RESALE,
    "paths.csv": table("""
path: forecast | year: 1 | index: 1
path: forecast | year: 2 | index: 2
path: drives by the year | year: 1 | index: 1
path: drives by the year | year: 2 | index: 1
"""),
    "pools.csv": table("""
scenario: minis | pool: main | copies: 3 | fill limit: 80 % | traffic: 70 % | lead time: 3 d | written: 60 GB/d
scenario: minis | pool: fast | data: 2 | parity: 1 | fill limit: 85 % | traffic: 30 % | lead time: 12 h | overhead: 2
"""),
    "sites.csv": table("""
site: hall | bed distance: 4 m | wall: 3 dB(A) | standing: floor | voltage: 230 V | breaker: 16 A | plug: 10 A | \
rule: rating | others continuous: 1 A | others short: 9 A | circuits: 1
"""),
    "stated.csv": table("""
scenario: rented | usable: 40 TB | node losses: 2 | losses writing: 2 | read: 25 MB/s | write: 5 MB/s | \
one client read: 25 MB/s | one client write: 5 MB/s
"""),
    "needs.csv": named("need", """
usable: 6 TB
usable growth: 5 %
hold data: yes
node losses: 1
losses writing: 1
read: 100 MB/s
write: 50 MB/s
one client read: 25 MB/s
one client write: 5 MB/s
noise idle: 27 dB(A)
noise busy: 30 dB(A)
power: 200 W
circuit: yes
budget start: 2500 EUR
budget month: 40 EUR/month
backup elsewhere: yes
"""),
    "ranges.csv": table("""
input: electricity price | low: 80 % | high: 150 %
input: busy of mini PC | scenario: minis | low: 20 W | high: 40 W
"""),
    "purchases.csv": table("""
scenario: minis | purchase: one more mini | part: mini PC | quantity: 1 | node: mini | more nodes: 1 | \
turn: 2 | most: 2
scenario: minis | purchase: one more mini | part: drive 8 TB new | quantity: 1 | more nodes: 1 | \
turn: 2 | most: 2
scenario: minis | purchase: fast links | node: mini | client link: 10 Gbit/s | replication link: 20 Gbit/s | \
needs: larger switch | excludes: second drives
scenario: minis | purchase: larger switch | part: switch, 16 ports | quantity: 1 | in place of: switch | going: 1
scenario: minis | purchase: second drives | part: drive 8 TB new | quantity: 3 | node: mini | turn: 1
"""),
    "ledger.csv": table("""
scenario: minis | day: 2026-10-30 | what: bought | part: mini PC | quantity: 3 | amount: 402 EUR
scenario: minis | day: 2026-11-02 | what: bought | part: drive 8 TB | quantity: 3 | amount: 290 EUR
scenario: minis | day: 2026-11-03 | what: paid | amount: 12 EUR | line: one off
scenario: minis | day: 2027-01-31 | what: metered | energy: 30 kWh
"""),
    "exchange.csv": table("currency: USD | rate: 2 | day: 2026-11-20"),
}  # fmt: skip
PLUG = table("\n".join(f"time: 2026-06-{1 + hour // 24:02} {hour % 24:02}:00 | power: 21 W" for hour in range(192)))
METER = table(
    "\n".join(f"time: 2026-06-{1 + hour // 24:02} {hour % 24:02}:00 | reading: {hour} kWh" for hour in range(192))
)
BILLED: Tables = {
    "study.csv": named("setting", """
question: Which box?
currency: EUR
start: 2026-12
horizon: 2 years
time zone: Europe/Vienna
discount: 3 %
"""),
    "scenarios.csv": table("""
scenario: minis | baseline: yes | parts list: minis.csv | tariff: by the hour | busy shape: office | site: hall | \
solar share: 20 % | ups efficiency: 93 %
scenario: boxes | parts list: boxes.csv | tariff: by blocks | busy share: 10 %
"""),
    "minis.csv": table("""
part: supply | node: mini | quantity: 3 | price: 30 EUR | efficiency: gold | provides: 90 W supply + 4 plug
part: board | node: mini | quantity: 3 | price: 129 EUR | idle: 10 W | busy: 40 W | watts at: supply
"""),
    "boxes.csv": table("""
part: box | node: logged | quantity: 1 | price: 300 EUR
part: other box | node: counted | quantity: 1 | price: 200 EUR
"""),
    "nodes.csv": table("""
scenario: minis | node: mini | count: 3
scenario: boxes | node: logged | count: 1 | log: plug.csv
scenario: boxes | node: counted | count: 1 | log: meter.csv
"""),
    "plug.csv": PLUG,
    "meter.csv": METER,
    "tariffs.csv": table("""
tariff: by the hour | start: 2026-01 | hours: day and night | clock: winter | export: 1 EUR/kWh
tariff: by blocks | start: 2026-01 | blocks: day | minimum: 8 EUR/month
"""),
    "charges.csv": table("""
tariff: by the hour | start: 2026-01 | charge: energy by day | price: 2 EUR/kWh | period: day
tariff: by the hour | start: 2026-01 | charge: energy by night | price: 1 EUR/kWh | period: night | kWh share: 104 %
tariff: by the hour | start: 2026-01 | charge: basic | fixed: 10 EUR/month
tariff: by blocks | start: 2026-01 | charge: energy | price: 1 EUR/kWh | above: 0 kWh
tariff: by blocks | start: 2026-01 | charge: energy | price: 2 EUR/kWh | above: 10 kWh
tariff: by blocks | start: 2026-01 | charge: meter | fixed day: 1 EUR/d
tariff: by blocks | start: 2026-01 | charge: power | capacity: 4 EUR/kW/month
tariff: by blocks | start: 2026-01 | charge: levy | percent: 5 % | of: energy + meter
"""),
    "hours.csv": table("""
hours: day and night | period: day | months: 1-12 | days: weekday | begins: 07:00 | ends: 19:00
hours: day and night | period: night | days: otherwise
"""),
    "holidays.csv": table("""
day: 12-25 | hours: day and night
day: 2026-12-26
"""),
    "home.csv": table("use: 3500 kWh | shape: evenings | peak: 5 kW"),
    "shapes.csv": table("""
shape: office | months: 1-12 | days: weekday | begins: 08:00 | ends: 18:00 | share: 80 %
shape: office | days: otherwise | share: 5 %
shape: evenings | begins: 18:00 | ends: 23:00 | share: 100 %
shape: evenings | days: otherwise | share: 10 %
"""),
    "efficiency.csv": table("""
curve: gold | load: 5 % | efficiency: 82 %
curve: gold | load: 50 % | efficiency: 90 %
curve: gold | load: 100 % | efficiency: 87 %
"""),
    "sites.csv": table("""
site: hall | heating: 10-4 | heat used: 60 % | heat price: 1 EUR/kWh | heat efficiency: 1 | cooling: 6-8 | \
cooling COP: 3
"""),
}  # fmt: skip
MONTHLY: Tables = {  # what a study says either or
    **BILLED, "home.csv": table("\n".join(f"month: {n} | use: {300 - n} kWh | peak: 5 kW" for n in range(1, 13))),
}  # fmt: skip
STUDIES: Mapping[str, Tables] = {"stored": STORED, "billed": BILLED, "by the month": MONTHLY}
