"""The sources of figures on drives that fail or are worn; all others: sources.py."""

from __future__ import annotations

from tests.published.record import Source

BACKBLAZE = Source(
    "Backblaze Drive Stats",
    "Backblaze Drive Stats (April 2013 to June 2026, https://www.backblaze.com/cloud-storage/resources/"
    "hard-drive-test-data): hazards by quarter of age from a public survival analysis",
    "computed",
    "hazards read; renewal in continuous time",
)
BACKBLAZE_CONTINUOUS = Source(
    "Backblaze Drive Stats, by year",
    "the same hazards as yearly means, printed to 0.001 %; those that never fall end at 4.25 %, the peak of "
    "Backblaze's review of the bathtub curve, October 2025",
    "computed",
    "hazards read; renewal equation in steps of 1/480 and 1/240 of a year, apart from the tool, alike to six digits",
)
BACKBLAZE_STEPS = Source(
    "Backblaze Drive Stats, in years",
    "the same yearly hazards h, chance 1 - exp(-h) in each year of age, what fails replaced at the year's end",
    "computed",
    "hazards read; two independent methods agree",
)
BACKBLAZE_YEARS = Source(
    "Backblaze Drive Stats, ages",
    "the same data, 505,182 drives, 31,941 failures, about 2.03 million drive-years: chances and survival by "
    "year of age",
    "computed",
    "hazards by quarter of age read and put together by year by us; survival to five digits from the quarters",
)
BACKBLAZE_LIFETIME = Source(
    "Backblaze, March 2022",
    "Backblaze, Drive Stats for the first quarter of 2022: one model's failures, drive-days and lifetime rate",
    "seen",
)
BACKBLAZE_MISPRINT = Source(
    "Backblaze, one model",
    "Backblaze, Drive Stats: 343 failures and 30,025,871 drive-days of model HMS5C4040BLE640 beside 0.40 %",
    "seen",
    "which of its reports was not noted",
)
SSD_REVIEW = Source(
    "Backblaze, boot drives",
    "Backblaze, review of solid-state boot drives, 2022: 2,906 drives, lifetime rate and counts",
    "quoted",
    "in a copy",
)
POSTERIOR = Source(
    "A. LaTorre", "A. LaTorre, Backblaze Q3 2025, https://tlatorre.com/backblaze-q3-2025.html, one model", "seen"
)
SCHROEDER = Source(
    "Schroeder & Gibson",
    "B. Schroeder & G. Gibson, Disk failures in the real world, USENIX FAST 2007, "
    "https://www.usenix.org/legacy/event/fast07/tech/schroeder/schroeder_html/",
    "seen",
)
MTTF = Source(
    "MTTF arithmetic",
    "mean time to failure of data sheets as failures a year, 8,760 h over it; chance within a year "
    "1 - exp(-8,760 / MTTF)",
    "computed",
)
MTTF_READ = Source(
    "MTTF, read",
    "data-sheet MTTF as failures a year: 1,500,000 h are 0.58 %; 45 drives of 300,000 h (2.92 %) have 1.31",
    "seen",
    "where was not noted",
)
FLASH_2016 = Source(
    "Flash reliability (2016)",
    "B. Schroeder, R. Lagisetty & A. Merchant, Flash Reliability in Production, USENIX FAST 2016: 4 to 10 % of "
    "drives replaced within four years",
    "memory",
    "rates solved from them: -ln(0.96)/4 and -ln(0.90)/4 a year",
)
BEACH = Source(
    "Beach (2013)",
    "B. Beach, Backblaze, November 2013, 25,000 consumer drives: 5.1 % a year to 18 months, 1.4 % to 3 years, "
    "11.8 % after",
    "quoted",
    "in a copy",
)
BEACH_RATES = Source("Beach (2013), by its rates", "the same three rates", "computed")
BEACH_FLEET = Source(
    "Beach (2013), a fleet",
    "the same three rates, what fails replaced by new",
    "computed",
    "renewal in continuous time",
)
WARRANTY = Source(
    "inherited warranty",
    "W. Blischke & E. Scheuer, Naval Research Logistics Quarterly 28 (1981): payments under a free-replacement "
    "warranty are a renewal process of W and the excess life at W; sum over n of P(Gamma(n, l) <= L - n W)",
    "computed",
    "abstract read; the closed form for exponential lives derived and simulated, numbers chosen by us",
)
SPARES_QUESTION = Source(
    "spares question",
    "a question of statistics on spare parts and its answer, copy at imathworks.com",
    "seen",
)
SPARES_RIGHT = Source(
    "RMQSI",
    "System Spares - What's the Right Answer?, https://rmqsi.org: 8,760 h between failures, 26,280 h, 3 spares",
    "seen",
    "read in part",
)
SPARES_RIGHT_MORE = Source("RMQSI, more", "the same numbers", "computed")
BIROLINI = Source(
    "Birolini",
    "A. Birolini, Reliability Engineering, Example 4.3",
    "memory",
    "the page of formulas read; the example from memory, its chances recomputed",
)
SPARES_OWN = Source(
    "spares arithmetic",
    "smallest s with P(N <= s) at least as wanted, N Poisson with units x rate x time, the usual rule of spare parts",
    "computed",
    "numbers chosen by us, or of the question above",
)
KINGSTON = Source("Kingston", "Kingston, What is DWPD?, https://www.kingston.com/unitedstates/us/ssd/dwpd", "seen")
TRANSCEND = Source(
    "Transcend", "Transcend, data sheet of a solid-state drive, p. 17", "seen", "which one was not noted"
)
LARGE_DRIVE = Source("3.84 TB drive", "data sheet of a solid-state drive of 3.84 TB", "seen", "where was not noted")
MIDDLE_DRIVE = Source("1.92 TB drive", "data sheet of a solid-state drive of 1.92 TB", "memory")
WEAR_OWN = Source(
    "wear arithmetic",
    "bytes written a day until a rating is reached; floor((L + u) / w) replacements in L years of what lasts w years "
    "and has u behind it",
    "computed",
    "numbers chosen by us",
)
