"""For each practice check: studies that it remarks on, with its whole sentence, and near ones that it lets pass.

The numbers are worked out beside them, by hand.
"""

from __future__ import annotations

from tests.ask.practice_study import COMPUTER, DISK, SWITCH, UNEVEN, case, later, row

CASES = [
    # 12e12 x 8 / 1e9 / 3600 = 26.67 h
    case(
        "link of 1 Gbit/s or less",
        "Each 'box' has a link to clients of 1 Gbit/s, 125 MB/s at most: the 12 TB of one take at least 26.67 h to "
        "cross it.",
        nodes=("10 Gbit/s", "1 Gbit/s"),
    ),
    case(
        "link of 1 Gbit/s or less",
        "Each 'box' has a link to the other nodes of 0.5 Gbit/s, 62.5 MB/s at most: the 12 TB of one take at least "
        "53.33 h to cross it.",
        nodes=(("client link", "client link,replication link"), ("10 Gbit/s", "10 Gbit/s,500 Mbit/s")),
    ),
    case("link of 1 Gbit/s or less", nodes=("10 Gbit/s", "2 Gbit/s")),
    case(
        "link below 2.5 Gbit/s",
        "Each 'box' has a link to clients of 2 Gbit/s, 250 MB/s at most: the 12 TB of one take at least 13.33 h to "
        "cross it.",
        nodes=("10 Gbit/s", "2 Gbit/s"),
    ),
    case("link below 2.5 Gbit/s", nodes=("10 Gbit/s", "2.5 Gbit/s")),
    case("link below 2.5 Gbit/s", nodes=("10 Gbit/s", "1 Gbit/s")),
    case(
        "one switch",
        "Every path between 4 nodes and to clients leads through one 'switch'.",
        flat=row(SWITCH, "switch,,2", "switch,,1"),
    ),
    case(
        "fewer than three nodes",
        "2 nodes decide whether writing goes on: when one is lost, the other is no majority.",
        nodes=("box,4", "box,2"),
    ),
    case(
        "fewer than three nodes",
        "1 node decides whether writing goes on: when it is lost, none is left.",
        scenarios=(("backup elsewhere", "voting nodes,backup elsewhere"), ("0.9,yes", "0.9,1,yes")),
    ),
    case(
        "fewer than three nodes",
        nodes=("box,4", "box,2"),
        scenarios=(("backup elsewhere", "voting nodes,backup elsewhere"), ("0.9,yes", "0.9,3,yes")),
    ),
    # One box from the start, three more from month 7 on.
    case(
        "fewer than three nodes",
        "1 node decides whether writing goes on: when it is lost, none is left (months 1 to 6).",
        nodes=("home,box,4,10 Gbit/s", "home,box,1,10 Gbit/s\nhome,late,3,10 Gbit/s"),
        flat=(
            (COMPUTER, COMPUTER.replace("box,4", "box,1")),
            (
                DISK,
                DISK.replace("box,4", "box,1") + "\n" + DISK.replace("drive,box,4,300 USD,", "more,late,3,300 USD,6"),
            ),
        ),
    ),
    case(
        "fewer nodes than pieces",
        "Pool 'main' needs 5 nodes for 5 copies and has drives in 4: it can hold nothing that way.",
        pools=("main,3", "main,5"),
    ),
    case("fewer nodes than pieces", pools=("main,3", "main,4")),
    case(
        "no spare node",
        "Pool 'main' has 4 nodes for 2 + 2 pieces: a lost node is not rebuilt on the others but waits for its "
        "replacement, 72 h by its lead time.",
        pools=("main,3,,", "main,,2,2"),
    ),
    case(
        "no spare node",
        "Pool 'main' has 4 nodes for 4 copies: a lost node is not rebuilt on the others but waits for its "
        "replacement, of which no lead time is stated.",
        pools=(("main,3", "main,4"), ("72 h", "")),
    ),
    # 11.5 TB growing by 2 % a year are 12.7 in the end; three nodes of 12 TB hold 12 in three copies
    case(
        "no spare node",
        "Pool 'main' has a node to spare, but without its largest the others hold 12 TB when full, and it is to hold "
        "12.7 TB: above that a lost node waits for its replacement, 72 h by its lead time.",
        study=("data held,10 TB", "data held,11.5 TB"),
    ),
    # 60 months of 1 - exp(-0.001) by 4 drives: 0.2399. 80 % of 24 TB do not fit on three: 72 h, 9.6 TB at 200 MB/s.
    # Eight units (a box counts as one) at 12 x (1 - exp(-0.001)) a year, 85.33 h each: 8.188 h a year.
    case(
        "fewer than three copies",
        "Pool 'main' keeps 2 copies: after one loss, one more before all is whole again loses data; of its 4 drives "
        "0.2399 are expected to fail in 60 months; recovery takes at least 85.33 h after losing a drive and 85.33 h "
        "after losing a node; 8.188 h a year are spent so.",
        pools=("main,3", "main,2"),
        flat=(row(DISK, "rising", "flat"), row(COMPUTER, "rising", "flat")),
    ),
    case(
        "fewer than three copies",
        "Pool 'main' keeps 1 copy: any loss loses data; of its 4 drives 0.2399 are expected to fail in 60 months.",
        pools=("main,3", "main,1"),
        flat=row(DISK, "rising", "flat"),
    ),
    case(
        "fewer than three copies",
        "Pool 'main' keeps 3 + 1 pieces: after one loss, one more before all is whole again loses data.",
        pools=(("main,3,,", "main,,3,1"), ("72 h", "")),
        flat=row(DISK, "rising", ""),
    ),
    case("fewer than three copies", pools=("main,3,,", "main,,2,2")),
    # 10 x 1.02^5 = 11.04
    case(
        "no backup elsewhere",
        "There is no backup elsewhere of the 10 TB held (11.04 TB at the end).",
        scenarios=("0.9,yes", "0.9,no"),
    ),
    case(
        "no backup elsewhere",
        "Whether there is a backup elsewhere of what is held is not stated (`backup elsewhere` in scenarios.csv).",
        scenarios=("0.9,yes", "0.9,"),
        study=("data held,10 TB,\n", ""),
    ),
    # 12 x 1.02^(m/12) > 12.8 from m = 39.11 on; 12 x 1.02^(40/12) = 12.819, 12 x 1.02^5 = 13.249, x 1.02^4 = 12.989.
    case(
        "above the fill limit",
        "From month 40 (2030-03) on the data held, 12.82 TB, are above the 12.8 TB that the fill limit recommends; "
        "in month 60 13.25 TB are held.",
        study=("data held,10 TB", "data held,12 TB"),
    ),
    case(
        "above the fill limit",
        "From month 40 (2030-03) to month 48 the data held, 12.82 TB, are above the 12.8 TB that the fill limit "
        "recommends; in month 48 12.99 TB are held.",
        study=("data held,10 TB", "data held,12 TB"),
        flat=later("12 TB"),
    ),
    case(
        "above the fill limit",
        "From the start on the data held, 13 TB, are above the 12.8 TB that the fill limit recommends; in month 60 "
        "13 TB are held.",
        study=(("data held,10 TB", "data held,13 TB"), ("data growth,2 %", "data growth,0 %")),
    ),
    case(
        "above the fill limit",
        study=(("data held,10 TB", "data held,12.8 TB"), ("data growth,2 %", "data growth,0 %")),
    ),
    case(
        "a node with more than its share",
        "In pool 'main' one 'big' holds 24 TB, more than its share of 20 TB (1/3 of the raw capacity): 6 of 60 TB "
        "cannot be used.",
        **UNEVEN,
    ),
    case("a node with more than its share", pools=("main,3", "main,4")),
    case(
        "mixed drive sizes",
        "Pool 'main' mixes drives of 6 and 12 TB: filled alike, the largest take 2 times the reading and writing of "
        "the smallest (from month 49 on).",
        flat=later("6 TB"),
    ),
    case("mixed drive sizes", flat=later("12 TB")),
    case(
        "system on a storage drive",
        "4 drives 'drive' hold the operating system beside data; 20 % of the speed is taken off for it.",
        flat=row(DISK, "main,,", "main,yes,"),
    ),
    case(
        "used gear without a curve of its age",
        "Used, and without a failure curve, so that no failure is counted: 'computer' (30 months old).",
        "The failure curve 'flat' says 1.2 % a year at every age, also of 'drive' (3 years old).",
        flat=(
            (COMPUTER, COMPUTER.replace("USD,,,", "USD,,30 months,").replace("rising", "")),
            (DISK, DISK.replace("USD,,,", "USD,,3 years,").replace("rising", "flat")),
        ),
    ),
    case("used gear without a curve of its age", flat=row(DISK, "USD,,,", "USD,,3 years,")),
    case("used gear without a curve of its age", flat=row(DISK, "rising", "flat")),
    case(
        "failures not counted",
        "1 of 3 parts that can fail has no failure curve: 'drive'.",
        flat=row(DISK, "rising", ""),
    ),
    # 800 GB a day x 1.25 x 2 copies / 4 drives = 500; 600 TB last 1,200 days, to 2030-03-15.
    case(
        "endurance reached within the horizon",
        "'drive' is written 500 GB a day: its 600 TB are reached in month 40 (2030-03) of 60.",
        pools=(("main,3", "main,2"), ("30 GB/d,", "800 GB/d,1.25")),
    ),
    case(
        "endurance reached within the horizon",
        "'drive' is written 500 GB a day: its 600 TB are reached in month 40 (2030-03) of 60; what it has written "
        "before it was bought comes on top.",
        pools=(("main,3,,", "main,,2,2"), ("30 GB/d,", "800 GB/d,1.25")),
        flat=row(DISK, "USD,,,", "USD,,1 year,"),
    ),
    # 1,826 days of five years: 600 TB at 328.58 GB a day, 438.1 by 3 copies over 4 drives.
    case("endurance reached within the horizon", pools=("30 GB/d", "438 GB/d")),
    case(
        "warranty ending within the horizon",
        "The warranty of 'computer' and 'drive' ends with month 36 (2029-11); 24 months without follow.",
        flat=(row(COMPUTER, "5 years", "3 years"), row(DISK, "5 years", "3 years")),
    ),
    case(
        "warranty ending within the horizon",
        "The warranty of 'drive' ends with the start; 60 months without follow.",
        flat=row(DISK, "5 years", "0 years"),
    ),
    case(
        "a part that does not fit",
        "Too few places, each box: bay 3.5: 2 needed, 1 there.",
        flat=row(DISK, "1 bay", "2 bay"),
    ),
    case(
        "little memory for the drives",
        "One 'box' has 5 GB of memory for 1 drive; 4 GB and 2 GB a drive make 6 GB.",
        flat=row(COMPUTER, "16 GB", "5 GB"),
    ),
    case("little memory for the drives", flat=row(COMPUTER, "16 GB", "6000 MB")),
    case(
        "drives without their node",
        "The drives of 'box' are there without any other part of it; they count as if it were (month 1).",
        flat=row(COMPUTER, "150 USD,,", "150 USD,1,"),
    ),
    case(
        "heavy part",
        "One 'computer' weighs 23.5 kg, more than 23 kg: two people lift it.",
        flat=row(COMPUTER, "2 kg", "23.5 kg"),
    ),
    case("heavy part", flat=row(COMPUTER, "2 kg", "23 kg")),
    # 8 W and 5 W of 60 W are 21.7 %, of 66 W 19.7 %
    case(
        "supply hardly loaded",
        "Idle, one 'box' draws 13 W of the 66 W that its supply gives, 19.7 %: no badge promises efficiency below "
        "20 %.",
        flat=row(COMPUTER, "60 W", "66 W"),
    ),
    case("supply hardly loaded", flat=row(COMPUTER, "60 W", "0.065 kW")),
    case(
        "all supplies on one circuit",
        "All 4 nodes hang on one circuit at 'shelf': one tripped breaker stops all.",
        sites=("9 A,2", "9 A,1"),
    ),
    case(
        "all supplies on one circuit",
        "All 4 nodes hang on one circuit (no other number is stated) at 'shelf': one tripped breaker stops all.",
        sites=("9 A,2", "9 A,"),
    ),
    # 4 x 28 + 2 x 5 = 122 W / 0.9 / 230 V / 2 circuits = 0.2947 A; with 13 A beside it 83.09 % of 16 A.
    case(
        "circuit load",
        "The circuit at 'shelf' is loaded to 83.09 % when all is busy at once, above 80 %.",
        sites=("9 A,2", "13 A,2"),
    ),
    case("circuit load", sites=("rating,9 A,2", "continuous 125 %,13 A,2")),
    # (1.25 x 0.2947 + 16) / 16
    case(
        "circuit load",
        "The circuit at 'shelf' is loaded to 102.3 % when all is busy at once, above 100 %.",
        sites=("rating,9 A,2", "continuous 125 %,16 A,2"),
    ),
    # All on one plug: 0.5894 A
    case(
        "circuit load",
        "The plug at 'shelf' is loaded to 117.9 % when all is busy at once, above 100 %.",
        sites=("10 A,rating,9 A,2", "0.5 A,rating,9 A,1"),
    ),
    case(
        "power factor not stated",
        "The power factor is not stated: 122 W when all is busy may be 122 VA, or 221.8 VA at 0.55.",
        scenarios=(",0.9,", ",,"),
    ),
    # 40 dB(A) at 1 m, -20 log10 5 = -13.98 at the bed, 4 of them + 6.02
    case(
        "noise at the bed",
        "Busy, it is 32.0 dB(A) at the bed, 2.0 dB above 30 dB(A), if sound spreads as in the open.",
        flat=row(COMPUTER, "20 dB(A)", "40 dB(A)"),
    ),
    case("noise at the bed", flat=row(COMPUTER, "20 dB(A)", "37.9 dB(A)")),
    # 4 x 80 dB(A) make 86.02; 8 h / 2^(1.0206 / 3) = 6.32 h
    case(
        "noise that harms hearing",
        "Busy, the gear is 86.0 dB(A) at 1 m: more than 6.3 h a day there may harm hearing.",
        flat=row(COMPUTER, "20 dB(A)", "80 dB(A)"),
    ),
    # A sound power of 93 dB(A) over a floor is 85 at 1 m, and 88 of two; 82 of two in a free field.
    case(
        "noise that harms hearing",
        "Busy, the gear is 88.0 dB(A) at 1 m: more than 4.0 h a day there may harm hearing.",
        flat=row(SWITCH, "0 dB(A),", "93 dB(A),power"),
    ),
    case(
        "noise that harms hearing",
        flat=row(SWITCH, "0 dB(A),", "92.9 dB(A),power"),
        sites=(("others short", "standing,others short"), ("rating,", "rating,free,")),
    ),
    case(
        "noise not stated",
        "2 of 3 parts that draw power have no noise level, nor has another part of the same node (0 dB(A) if "
        "silent): 'computer' and 'drive'.",
        flat=row(COMPUTER, "20 dB(A),pressure,1 m", ",,"),
    ),
    # 4 x 150 x 1.2
    case(
        "resale above what was paid",
        "4 × 'computer' sell in month 60 (2031-11) for 720 USD, more than the 600 USD that they cost.",
        flat=((COMPUTER, COMPUTER.replace("rising,fair", ",gold")),),
    ),
    case(
        "resale above what was paid",
        flat=((COMPUTER, COMPUTER.replace("rising,fair", ",gold")),),
        study=("data held", "selling share,17 %,\ndata held"),
    ),
    case(
        "old tariff",
        "Tariff 'household': the price that holds at the start (2026-12) dates from 2025-11, 13 months before.",
        tariffs=("2026-06", "2025-11"),
    ),
    case("old tariff", tariffs=("2026-06", "2025-12")),
    case("old tariff", tariffs=("household,2026-06", "household,2020-01,0.2 USD/kWh,,old bill\nhousehold,2026-06")),
    case(
        "prices without a source",
        "2 of 4 prices have no source: 'drive' and 'household from 2026-06'.",
        flat=row(DISK, "ours", ""),
        tariffs=("the bill", ""),
    ),
    case(
        "unusual price of a node",
        "One 'box' costs 251 USD without its drives; 75 to 250 USD are usual.",
        flat=row(COMPUTER, "150 USD", "251 USD"),
    ),
    case(
        "unusual price of a node",
        "One 'box' costs 70 USD without its drives; 75 to 250 USD are usual.",
        flat=row(COMPUTER, "150 USD", "70 USD"),
    ),
    case("unusual price of a node", flat=row(COMPUTER, "150 USD", "250 USD")),
    # 4 x 150 + 4 x 300 + 2 x 50
    case(
        "no hours of upkeep",
        "Hardware for 1,900 USD takes 0 h of your time a month here.",
        scenarios=("1 h/month", ""),
    ),
    case(
        "no hours of upkeep",
        "1 h of upkeep a month cost 0 USD: `hour value` in study.csv is nothing.",
        study=("hour value,15 USD/h,\n", ""),
    ),
]
