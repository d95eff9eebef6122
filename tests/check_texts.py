"""Every sentence that the program can say to a person stands in the catalogues of texts/, and nothing else does.

What stays English has its reason here. A new sentence in src/ fails this test until texts/de.json holds it, a
sentence in rules/ until texts/rules.de.json does: run `python3 tests/check_texts.py .` and add what it names.
"""

import json
import pathlib
import re
import sys

sys.path.insert(0, str(pathlib.Path(__file__).parent))
import prose

# Folders whose words reach no screen; those of the report stand in a catalogue of its own.
LEFT_OUT = ("front/cli", "front/main", "front/meter_simulator", "edge/report")
REPORT = "edge/report"
# Where the steps of a plan are named.
STEPS = "rules/practice/diagnosis.json"
CONTRIBUTIONS = "rules/practice/uncertainty.json"

# Rules that only the command line shows.
RULES_LEFT_OUT = ("practice/diagnosis", "practice/prediction", "array-polarity", "connector-grades", "mil-std-105e", "iec-60825-2", "iec-61300-3-35-2015")
# The same in every language.
NAMES = {"IEEE 802.3 Ethernet"}

HEADINGS = r"[a-z0-9 ]+"
EXCEPTIONS = [
    # (file, what, why)
    (r"edge/book/(sqlite|postgres)_.*", r"(\{\})?(SELECT|INSERT|UPDATE|LOCK|COPY|CREATE|PRAGMA|FROM|LEFT JOIN|WHERE|AND|ORDER BY|BEGIN) ?.*", "SQL"),
    (r"edge/book/(sqlite|postgres)_schema.cpp", r"\nCREATE.*", "SQL"),
    (r"edge/book/(carry_file|device|fact|head).cpp", r"strandbook (carry|chain|device|fact|head) 1.*", "first line of a file"),
    (r"edge/book/postgres_store.cpp", r"the (files|devices)", "names of counts"),
    (r"edge/exchange/heading_synonyms.cpp", r".*", "spellings of headings"),
    (r"edge/exchange/(array_tables|inspection_table|cord_table|reel_table).cpp", HEADINGS, "spellings of headings"),
    (r"workflow/check_(power|tree).cpp", HEADINGS, "spellings of headings"),
    (r"edge/exchange/end_directions.cpp", r"\{\} (to|nach|vers|hacia) \{\}", "how files write a direction"),
    (r"edge/exchange/(workbook|xlsx_workbook).cpp", r"application/.*|mergeCell \{\}", "names within workbooks"),
    (r"edge/traces/trace_table.cpp", r"\s*# .*|\{\} [a-z_0-9]+=\{\}", "lines of a file"),
    (r"workflow/correct_row.cpp", r"[a-z_]+(, [a-z_]+){3,}", "names of fields"),
    (r"domain/problem/problem.cpp", r"\{\} (found|expected) \{\}", "parts of the forms in ASSEMBLED"),
    (r"edge/book/fact_summary.cpp", r"\{\} dBm", "a unit"),
    (r"workflow/package_(readme|lists).cpp", r".*", "a package's own words, in the files that it holds"),
    (r"workflow/package_page.cpp", r"strandbook \{\}", "the program's name"),
    (r"workflow/(statements|make_package).cpp", r"(stated|strandbook device) \{\}", "marks of a record, a name in a certificate"),
    (r"workflow/verify_package.cpp", r".*", "said at the command line"),
    (r"edge/texts/.*", r".*", "said to who writes a catalogue"),
    (r"front/service/(event_hub|http_server).cpp", r"event: .*|still here", "lines of a stream"),
    (r"front/service/serve.cpp", r".*", "said at the command line"),
    (r"edge/report/(sample_job.hpp|typesetter.cpp)", r".*", "for tests; names of fonts"),
    (r"edge/report/section_summary.cpp", r"\{\}, as a head", "part of the keys in COUNTED"),
    (r"edge/report/sheet_summary.cpp", r".*COUNTIF.*", "a formula"),
    (r"edge/report/pdf_.*", r"page=.*|.*mntrRGB XYZ.*|text.*none claimed.*|sRGB .*|<.*|adobe:.*", "names within a PDF"),
    (r"edge/report/[a-z_]+.cpp", r"(\{\}[ ,:;()%|+-]*(nm|dB|dBm|ft|m|km|min|\u2009)*[ ,:;()%|]*)+", "numbers and units"),
    (r"front/service/(guard|sharing|static_files|api_tasks|api_merge).cpp", r".*;.*|.*; ?charset.*|public, .*|<!doctype.*|attachment.*", "headers and markup"),
]

# Sentences put together from parts: describe(Problem), summary_of(FactKind).
ASSEMBLED = {
    "{}: found {}; expected {}. {}", "{}: found {}; expected {}.", "{}: found {}. {}", "{}: found {}.",
    "{}: expected {}. {}", "{}: expected {}.",
    "{} strands", "1 strand",  # counted_words
    "end A {}", "end B {}", "link {}", "building {}", "strand position {}", "operator {}", "source {}", "cords {}",  # what strands share
    "trade practice (common practice)",  # the document of a number and how it is known
    "note: {}", "acknowledgement: {}", "sign-off: {}", "job: {}", "import: {}", "rule choice: {}", "unread row: {}",
}


# "{} links" and the like: what counted() makes; outcomes as sentences: what capitalised() makes.
COUNTED = {form for noun in ("link", "strand", "test", "finding", "connection", "splice") for form in ("{} " + noun + "s", "1 " + noun)}
# What heads narrow columns: head_word().
# How numbers of rules name their place.
COUNTED |= {"limit table"}
COUNTED |= {word + ", as a head" for word in ("pass", "cond. pass", "cond. fail", "fail", "not tested", "invalid")}


def excepted(place, text):
    name = place.removeprefix("src/").rpartition(":")[0]
    return any(re.fullmatch(file, name) and re.fullmatch(what, text, re.S) for file, what, _ in EXCEPTIONS)


def wrong_entry(english, other):
    places = english.count("{}")
    named = re.findall(r"\{(\d)[!=+-]?\}", other)
    if {int(each) for each in named} != set(range(places)) and places > 0:
        return f"has {places} places, its translation names {named}"
    if places == 0 and named:
        return "has no places, its translation names some"
    if not other.strip() or (other == english and re.search(r"[a-z]{3,} [a-z]{3,}", english.replace("{}", ""))):
        return "is not translated"
    return None



def compare(path, wanted, allowed):
    """What is wrong with a catalogue: `wanted` {text: place} must be in it, nothing but `allowed` may be."""
    held = json.loads(path.read_text())
    print(f"{path.name}: {len(held)} templates for {len(wanted)} sentences")
    wrong = [f'{place}: "{text}" is not in {path.name}' for text, place in wanted.items() if text not in held]
    for text, other in held.items():
        if text not in allowed:
            wrong.append(f'{path.name}: "{text}" is said nowhere: take it out')
        problem = wrong_entry(text, other)
        if problem:
            wrong.append(f'{path.name}: "{text}" {problem}')
    return wrong


def of_report(root):
    """{sentence: (place, read)} of the report, with its signs as they are printed."""
    outside = tuple(str(path.relative_to(pathlib.Path(root) / "src")) for path in (pathlib.Path(root) / "src").glob("*/*")
                    if not str(path).endswith(REPORT)) + ("front/main.cpp",)
    found = prose.of_tree(root, outside)
    return {re.sub(r"\\u([0-9A-F]{4})", lambda sign: chr(int(sign[1], 16)), text): value for text, value in found.items()}


def left_over(path, said):
    """Entries of the report's catalogue that nothing says: no literal, and no key of evidence or of a step."""
    keys = {re.sub("[_-]", " ", text) for text in said}
    def known(text):
        sentence = text[:1].lower() + text[1:].removesuffix(".")
        return {text, sentence} & said or any(key == text or key.startswith(text + " ") for key in keys)
    return [f'{path.name}: "{text}" is said nowhere: take it out' for text in json.loads(path.read_text()) if not known(text)]


def main(root):
    texts = prose.of_tree(root, LEFT_OUT)
    wanted = {text: place for text, (place, read) in texts.items()
              if read and re.search("[A-Za-z]{2}", text) and not excepted(place, text)}
    notes = {text: place for text, place in prose.of_rules(root, RULES_LEFT_OUT).items() if text not in NAMES}
    folder = pathlib.Path(root) / "texts"
    report = of_report(root)
    wrong = compare(folder / "de.json", wanted, set(texts) | ASSEMBLED | set(report))
    shared = set(json.loads((folder / "de.json").read_text()))
    unsaid = {text: place for text, (place, read) in report.items()
              if read and re.search("[A-Za-z]{2}", text) and text not in shared and not excepted(place, text)}
    own = set(json.loads((folder / "report.de.json").read_text()))
    wrong += compare(folder / "report.de.json", unsaid, own)
    steps = set(re.findall(r'"name": "([^"]+)"', (pathlib.Path(root) / CONTRIBUTIONS).read_text())) | set(re.findall(r'"action": "([a-z-]+)"', (pathlib.Path(root) / STEPS).read_text()))
    wrong += left_over(folder / "report.de.json", set(prose.of_tree(root, ())) | set(report) | COUNTED | steps)
    wrong += compare(folder / "rules.de.json", notes, set(notes))
    print("\n".join(wrong))
    return 1 if wrong or not wanted or not notes else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
