#!/usr/bin/env python3
"""Does an office suite come to the same printed digits as the workbook says?

The cached values of all formulas are stripped from a copy of the workbook, LibreOffice works every formula out
anew, and limit, margin, probability and outcome of each test are compared, as printed, with

  * the values that the program had cached in the workbook, and
  * with --json, the tests of the JSON that `strandbook assess --json` wrote for the same job.

Usage: check_xlsx_recalc.py REPORT.xlsx [--json ASSESS.json] [--soffice PROGRAM]
Exit status: 0 all agree; 1 something differs; 2 usage, unreadable input, or no office suite.
SOURCE of the outside check: LibreOffice Calc.
"""

import argparse
import csv
import json
import re
import shutil
import subprocess
import sys
import tempfile
import zipfile
from pathlib import Path
from xml.etree import ElementTree

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
RELATION = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
COMPARED = {"limit, dB": 2, "margin, dB": 2, "probability of conformance": 4, "outcome": None}
MOST_SHOWN = 20


def trouble(text):
    print(text, file=sys.stderr)
    sys.exit(2)


def sheet_files(book):
    """Names of the sheets and the parts they stand in, in order."""
    relations = ElementTree.fromstring(book.read("xl/_rels/workbook.xml.rels"))
    targets = {each.get("Id"): each.get("Target") for each in relations}
    sheets = ElementTree.fromstring(book.read("xl/workbook.xml")).iter(MAIN + "sheet")
    return [(each.get("name"), "xl/" + targets[each.get(RELATION)]) for each in sheets]


def strip_cached(source, target):
    """Copies the workbook without the value of any formula; returns how many there were."""
    stripped = 0
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            data = old.read(name)
            if name.startswith("xl/worksheets/sheet"):
                text, count = re.subn(r"(<c [^>]*?)(?: t=\"str\")?(><f>[^<]*</f>)<v>[^<]*</v>", r"\1\2", data.decode())
                stripped += count
                data = text.encode()
            new.writestr(name, data)
    return stripped


def column_number(reference):
    number = 0
    for letter in re.match(r"[A-Z]+", reference).group():
        number = number * 26 + ord(letter) - ord("A") + 1
    return number - 1


def cell_value(cell):
    inline = cell.find(MAIN + "is")
    if inline is not None:
        return "".join(part.text or "" for part in inline.iter(MAIN + "t"))
    value = cell.find(MAIN + "v")
    return "" if value is None else value.text or ""


def cached_rows(path, wanted):
    """Rows of the tests sheets as dictionaries from heading to cached value."""
    rows = []
    with zipfile.ZipFile(path) as book:
        for name, part in sheet_files(book):
            if not wanted(name):
                continue
            headings = None
            with book.open(part) as stream:
                for _, element in ElementTree.iterparse(stream):
                    if element.tag != MAIN + "row":
                        continue
                    cells = {column_number(cell.get("r")): cell_value(cell) for cell in element}
                    if headings is None:
                        headings = cells
                    else:
                        rows.append({headings[at]: cells.get(at, "") for at in headings})
                    element.clear()
    return rows


def recalculated_rows(path, soffice, folder, names):
    """The same rows as LibreOffice prints them after working the formulas out."""
    profile = Path(folder, "profile").as_uri()
    form = 'csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,-1'
    command = [soffice, "--headless", f"-env:UserInstallation={profile}", "--convert-to", form, "--outdir", folder, path]
    run = subprocess.run(command, capture_output=True, text=True, timeout=900, check=False)
    rows = []
    for name in names:
        made = Path(folder, f"{Path(path).stem}-{name}.csv")
        if not made.exists():
            trouble(f"{soffice} wrote no {made.name}: {run.stderr.strip() or run.stdout.strip()}")
        with open(made, newline="", encoding="utf-8") as stream:
            rows.extend(csv.DictReader(stream))
    return rows


def printed(value, decimals):
    """A number with fixed decimals, -0.00 as 0.00; texts and blanks as they are."""
    if decimals is None or value in ("", None):
        return "" if value is None else str(value)
    text = f"{float(value):.{decimals}f}"
    return text.lstrip("-") if float(text) == 0 else text


def half_way(value, decimals):
    """Is a number so near the middle between two printed ones that either is right?"""
    try:
        scaled = abs(float(value)) * 10**decimals
    except (TypeError, ValueError):
        return False
    return abs(scaled - int(scaled) - 0.5) < 1e-6


def differences(name, expected, recalculated):
    """Compares row by row what the workbook or the JSON says with what LibreOffice prints."""
    found = []
    for number, (want, got) in enumerate(zip(expected, recalculated), start=2):
        for heading, decimals in COMPARED.items():
            if heading not in want:
                continue
            left = printed(want[heading], decimals)
            right = printed(got[heading], decimals)
            if left != right and not (decimals and half_way(want[heading], decimals)):
                found.append(f"{name}: row {number}, {heading}: {left!r}, but LibreOffice has {right!r}")
    return found


def json_rows(path, cached):
    """The JSON's tests in the order of the workbook's rows."""
    with open(path, encoding="utf-8") as stream:
        tests = json.load(stream)["tests"]
    def key(link, strand, wavelength, direction):
        return (link, strand, float(wavelength), direction or "either")
    by_key = {key(t["link"], t["strand"], t["wavelength_nm"], t.get("direction")): t for t in tests}
    rows = []
    for row in cached:
        test = by_key.pop(key(row["link"], row["strand"], row["wavelength, nm"], row["direction"]), None)
        if test is None:
            trouble(f"{path} has no test for {row['link']} {row['strand']} {row['wavelength, nm']} {row['direction']}")
        judged = test["outcome"] not in ("not tested", "invalid", "not_tested")
        rows.append({"limit, dB": test.get("limit_db"), "outcome": test["outcome"].replace("_", " ")})
        if judged:
            rows[-1]["margin, dB"] = test["margin_db"]
            rows[-1]["probability of conformance"] = test["conformance_probability"]
    if by_key:
        trouble(f"{path} has {len(by_key)} tests that are not in the workbook, such as {next(iter(by_key))}")
    return rows


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    parser.add_argument("report")
    parser.add_argument("--json")
    parser.add_argument("--soffice", default="soffice")
    asked = parser.parse_args()
    if not Path(asked.report).is_file():
        trouble(f"{asked.report}: no such file")
    if shutil.which(asked.soffice) is None:
        trouble(f"{asked.soffice} not found: install libreoffice-calc-nogui")
    with zipfile.ZipFile(asked.report) as book:
        names = [name for name, _ in sheet_files(book) if re.fullmatch(r"Tests( \d+)?", name)]
    cached = cached_rows(asked.report, lambda name: name in names)
    with tempfile.TemporaryDirectory() as folder:
        bare = str(Path(folder, "stripped.xlsx"))
        formulas = strip_cached(asked.report, bare)
        recalculated = recalculated_rows(bare, asked.soffice, folder, names)
    found = []
    if len(cached) != len(recalculated):
        found.append(f"{len(cached)} tests in the workbook, {len(recalculated)} as LibreOffice reads it")
    if cached and formulas == 0:
        found.append("no live formula in the workbook")
    found += differences("workbook", cached, recalculated)
    if asked.json:
        found += differences("JSON", json_rows(asked.json, cached), recalculated)
    for line in found[:MOST_SHOWN]:
        print(line)
    print(f"{len(cached)} tests, {formulas} formulas worked out anew, {len(found)} differences")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
