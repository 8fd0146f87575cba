"""The sources of the published figures, each with how its figures were seen; see STATUSES in record.py."""

from __future__ import annotations

from tests.published.record import Source

NIST_2025 = Source(
    "NIST 135 (2025)",
    "NIST Handbook 135e2025, Life Cycle Costing Manual for the Federal Energy Management Program, Example 7-1, "
    "sec. 7.1.1, pp. 94-95, https://nvlpubs.nist.gov/nistpubs/hb/2025/NIST.HB.135e2025.pdf",
    "quoted",
    "transcribed with page numbers in a public source ledger; the savings in the test file beside it",
)
NIST_1995 = Source(
    "NIST 135 (1995)",
    "Fuller & Petersen, NIST Handbook 135, 1995 edition, ch. 5, Table 5-2",
    "memory",
    "outputs quoted in the unit tests of a public building-simulation library, inputs from memory; they divide out",
)
NIST_FACTORS = Source(
    "NIST factors",
    "NISTIR 85-3273-24, Table A-1, and the worked factors of NIST Handbook 135",
    "quoted",
    "in a public test file; rate, growth and years of the worked factors were found by recomputation",
)
PRATT = Source(
    "Pratt",
    "D. Pratt, Economic Analysis, Appendix A in Thumann & Woodroof, Energy Project Financing: Resources and "
    "Strategies for Success, pp. 225-259, https://issuhub.com/view/index/4299",
    "seen",
)
CAPEHART = Source(
    "Capehart",
    "Capehart, Turner & Kennedy, Guide to Energy Management, Example 4.14, p. 158, "
    "https://fliphtml5.com/zroi/bbck/Guide_to_Energy_Management/173/",
    "seen",
)
OMB_1992 = Source(
    "OMB A-94 (1992)",
    "US Office of Management and Budget, Circular A-94 (October 1992), Appendix B",
    "memory",
    "confirmed by recomputing all totals exactly",
)
OMB_2023 = Source(
    "OMB A-94 (2023)",
    "US Office of Management and Budget, Circular A-94 (November 2023), Appendix B",
    "quoted",
    "inputs, rate and totals in a public test file",
)
OPENSTAX_16_5 = Source(
    "OpenStax Finance 16.5",
    "OpenStax, Principles of Finance, sec. 16.5 (source module m00103, openstax/osbooks-principles-finance)",
    "seen",
)
OPENSTAX_16_3 = Source(
    "OpenStax Finance 16.3",
    "OpenStax, Principles of Finance, sec. 16.3 (source module m00101, openstax/osbooks-principles-finance)",
    "seen",
)
OPENSTAX_11 = Source(
    "OpenStax Accounting 11",
    "OpenStax, Principles of Managerial Accounting, ch. 11 (source modules m68090, m68093 and m68094)",
    "seen",
)
BLANK = Source(
    "Blank & Tarquin",
    "Blank & Tarquin, Engineering Economy, lecture slides on annual worth, capitalised cost and economic life, "
    "https://cdn.slideserve.com/adrian-carter/economic-life, https://slideplayer.com/slide/17551094, "
    "https://slideplayer.com/amp/16630308, scribd presentation 854323698",
    "seen",
)
NEWNAN = Source(
    "Newnan",
    "Newnan, Eschenbach & Lavelle, Engineering Economic Analysis, 9th ed., solutions to ch. 6, "
    "https://studylib.net/doc/8664649/chapter-6--annual-cash-flow",
    "seen",
)
NEWNAN_6_38 = Source("Newnan 6-38", "the same, problem 6-38", "memory", "only the start of the problem was read")
ACCA = Source(
    "ACCA workbook",
    "ACCA F9 workbook 2017, ch. 5 question 4, p. 90, "
    "https://online.flipbuilder.com/bmcx/mbdm/files/basic-html/page98.html",
    "seen",
)
ACCA_EXAM = Source("ACCA exam", "ACCA F9 exam question, https://opentuition.com/topic/cbe-exam-f9", "seen")
CIMA = Source("CIMA notes", "CIMA P2 notes, asset replacement decision, https://www.acowtancy.com", "seen")
INSULATION = Source(
    "insulation problem",
    "homeowner insulation, a textbook problem reprinted with its answers (the book is not named), "
    "https://archive.laminart.com/dudas/32568629",
    "seen",
)
MASTERS = Source("Masters ch. 5", "G. Masters, Renewable and Efficient Electric Power Systems, ch. 5", "memory")
MASTERS_IRR = Source(
    "Masters p. 245", "G. Masters, Renewable and Efficient Electric Power Systems, p. 245 with Table 5.4", "seen"
)
PARK = Source("Park, compressor", "C. Park, Contemporary Engineering Economics, air compressor", "memory")
PARK_TRUCK = Source(
    "Park, lift truck",
    "C. Park, Contemporary Engineering Economics, Example 11.4, "
    "https://studylib.net/doc/9433714/economic-service-life",
    "seen",
    "outputs and first amounts read; growth, resale rate and overhauls were solved from the outputs",
)
NRCAN = Source(
    "NRCan",
    "Natural Resources Canada, Office of Energy Efficiency, motors, Table B, "
    "http://oee.rncan.gc.ca/industrial/equipment/motors/savings.cfm?attr=24",
    "seen",
)
HANDOUT = Source(
    "class handout",
    "Answers to Tutorial - Life Cycle Costing, class handout, scribd 658811206",
    "seen",
    "author unknown",
)
GREEN_BOOK = Source(
    "Green Book",
    "HM Treasury, Green Book supplementary guidance on discounting (February 2026), Annex A, Tables A.1 and A.2",
    "quoted",
    "in two public test suites",
)
GREEN_BOOK_2003 = Source("Green Book (2003)", "HM Treasury, The Green Book, 2003 edition, Annex 6", "memory")
BREALEY = Source(
    "Brealey",
    "Brealey, Myers & Marcus, Fundamentals of Corporate Finance, solutions to ch. 8, scribd 215223658",
    "seen",
)
REGULATION_Z = Source(
    "Regulation Z",
    "US Regulation Z, 12 CFR 1026, Appendix J, CFR-2024-title12-vol9, pp. 435-439",
    "quoted",
    "in a public source ledger",
)
ITAC = Source(
    "ITAC notes",
    "University of Connecticut Industrial Training and Assessment Center, UCONN-ITAC/itac-docs, "
    "Training/2-Engineering-Economics",
    "seen",
)
CENGEL = Source(
    "Cengel & Boles",
    "Cengel & Boles, Thermodynamics, high-efficiency motor",
    "memory",
    "inputs read at holooly.com, answers from memory",
)
GROUP_B = Source(
    "group replacement, 1",
    "group replacement of 1,000 bulbs, standard textbook problem of operations research",
    "memory",
    "inputs read in a worked problem, outputs from memory",
)
GROUP_C = Source(
    "group replacement, 2", "Kanti Swarup et al., Operations Research, group replacement of 1,000 bulbs", "memory"
)
GROUP_E = Source(
    "group replacement, 3",
    "group replacement of 1,000 street bulbs, https://www.assignmentexpert.com, question 79189",
    "computed",
    "inputs read",
)
DISTINCT_NODES = Source(
    "distinct nodes",
    "R. McNaughton, Scheduling with deadlines and loss functions, Management Science 6 (1959), wrap-around rule; "
    "Brinkmann, Effert, Meyer auf der Heide & Scheideler, Dynamic and Redundant Data Placement, ICDCS 2007, "
    "https://studylib.net/doc/8094033",
    "computed",
    "capacities chosen by us; the rule from memory and proved anew, the introduction of the second text read; closed "
    "form, halving and a linear programme over all sets of nodes agree",
)
RECOVERY_TIME = Source(
    "recovery arithmetic",
    "bytes of the lost unit over the slowest rate on their way, general practice",
    "computed",
    "`about 40 hours` was read for the first case, where was not noted; the other cases are ours",
)
EXCEL = Source(
    "Excel help",
    "Microsoft Excel help pages of NPV, IRR, MIRR, XNPV, XIRR and PMT",
    "quoted",
    "in several independent public test suites",
)
OPENFORMULA = Source(
    "OpenFormula", "OASIS, OpenFormula 1.2, draft 7, test cases", "quoted", "in a public test file that reprints them"
)
NUMPY_FINANCIAL = Source("numpy-financial", "numpy-financial 1.0.0, docstrings of npv and irr", "seen")
MATHWORKS = Source("MathWorks", "MathWorks help pages of irr and xirr", "seen")
IMSL = Source("IMSL", "PV-WAVE/IMSL help page of the internal rate of return", "seen")
FORMCALC = Source("FormCalc", "Adobe FormCalc reference, NPV", "seen")
LECTURE = Source("FE-review notes", "FE-review lecture notes, repository dustykat/ce-4200-webroot", "seen")
BULBS = Source(
    "bulb exercise", "light-bulb exercise on equivalent annual cost, posted answers of two question sites", "seen"
)
OFGEM = Source(
    "Ofgem",
    "Ofgem, New energy price cap level for July to September 2024, and October to December 2024, starts today, "
    "https://ofgem.gov.uk/news/new-energy-price-cap-level-october-december-2024-starts-today",
    "memory",
    "two quarters read there, the other rates where others quote them; the typical use of 2,700 and 11,500 kWh a "
    "year is from memory, and closes all five totals",
)
OFGEM_PARTS = Source(
    "Ofgem, electricity alone", "the same rates, 365 days and 2,700 kWh", "computed", "not printed by itself"
)
SEYMOUR = Source(
    "Seymour",
    "City of Seymour, Residential electricity, Billing calculation examples, undated, "
    "https://cityofseymour.org/departments/utilities/residential-electricity/bill-comparison/",
    "seen",
)
SEYMOUR_MORE = Source("Seymour, 36 kWh more", "the same prices", "computed")
KANSAI = Source(
    "Kansai Electric",
    "Kansai Electric, menu page of Juryo Dento A with a worked example, undated, https://kepco.jp/ryokin/menu/dento_a",
    "seen",
    "fuel adjustment and levy are symbols there and left out",
)
KANSAI_MORE = Source("Kansai Electric, 36 kWh more", "the same prices", "computed")
TNB = Source(
    "TNB",
    "TNB, Billing component (July 2018), "
    "https://www.mytnb.com.my/residential/understand-your-bill/billing-component; Malay Mail, 28 May 2020, "
    "https://www.malaymail.com/news/malaysia/2020/05/28/tnb-prorate-method-ensures-users-will-not-be-overcharged/1870375",
    "memory",
    "bills and the first three blocks read; the last two blocks are from memory, and give the printed 681",
)
RWE = Source(
    "RWE/BDEW",
    "RWE, Strompreise und Stromrechnung privater Haushalte (data BDEW, March 2014), "
    "https://www.rwe.com/web/cms/de/2074608/transparenz-offensive/stromdaten-kompakt/"
    "strompreise-und-stromrechnung-privater-haushalte/",
    "seen",
)
RWE_1998 = Source(
    "RWE/BDEW, 1998",
    "the same, column of 1998",
    "memory",
    "prices and bill read; that VAT rose from 15 % to 16 % in April 1998 is from memory",
)
OAKVILLE = Source(
    "Oakville Hydro",
    "Oakville Hydro, Understanding Your Bill (Tiered), May 1 to October 31, 2022, "
    "https://www.oakvillehydro.com/accounts-customer-services/billing-payment/"
    "understanding-your-bill-tiered-may-1-october-31-2022",
    "seen",
    "up to the regulatory lines",
)
OAKVILLE_REST = Source(
    "Oakville Hydro, the rest",
    "the same bill, a rebate of 17 % and HST of 13 % before it",
    "computed",
    "the printed total was cut off; the rate of the rebate read on another page, that of the tax from memory",
)
TAIPOWER = Source("Taipower", "Taipower, residential summer prices 2023, quoted on ez3c.tw", "quoted")
UMHLATHUZE = Source(
    "uMhlathuze",
    "uMhlathuze municipality, electricity tariff 2024/25, as a question site prints it with the answer",
    "quoted",
)
SINGAPORE = Source("CNA", "CNA, 30 Dec 2020, electricity tariff before and with 7 % GST", "seen")
SINGAPORE_BILLS = Source(
    "The Independent",
    "The Independent Singapore, 30 Dec 2024, monthly bills before GST, price down 0.98 cents",
    "memory",
    "bills and the difference read; the prices, 29.10 and 28.12 cents, are from memory",
)
PSE = Source(
    "energy-management handbook",
    "an energy-management handbook, sec. 18.5.1, general service, June, "
    "https://www.civilengineeringhandbook.tk/energy-management/185-calculation-of-a-monthly-bill.html",
    "seen",
    "the price of a kW could not be read: the printed line over its 30 kW",
)
HYDRO_QUEBEC = Source(
    "Hydro-Quebec",
    "Hydro-Quebec, Rate D, https://www.hydroquebec.com/residential/customer-space/rates/rate-d.html",
    "seen",
)
BC_HYDRO = Source(
    "BC Hydro",
    "BC Hydro, residential rates, "
    "https://www.bchydro.com/accounts-billing/rates-energy-use/electricity-rates/residential-rates.html",
    "seen",
)
ISURV = Source(
    "RICS isurv", "RICS isurv, Whole life costing worked examples, option 1", "seen", "its Table 1 could not be read"
)
WEB_SOLUTION = Source("web solution", "a posted solution of the first group-replacement problem", "seen")
