"""The papers of a job: a part of it, another language, other paper, certificates, labels; checked with other programs."""

import json
import re
import struct
import subprocess
import unittest
import zlib
from xml.etree import ElementTree

from support import Scenario, root

campus = root / "demo-campus"
FILES = ("--schedule", campus / "schedule.csv", "--references", campus / "references.csv",
         "--readings", campus / "readings-crew-k.csv", "--readings", campus / "readings-crew-r.csv",
         "--readings", campus / "readings-crew-t.xlsx", "--rule", "iso-14763-3-2024", "--guard", "U",
         "--created", "1780000000")
# Small words that an English sentence of more than a few words has, and a German one has not.
ENGLISH = re.compile(r"\b(the|The|of|is|are|were|and|or|not|with|for|this|This|that|which|to|from|only|one|by|as|has|have|be|it)\b")


def output(*command):
    return subprocess.run([str(part) for part in command], capture_output=True, text=True, check=True).stdout


def picture(width, height, bits=b"\x90\x20\x10"):
    """A PNG of one colour, as its standard says (SOURCE: ISO/IEC 15948, 5 and 11)."""
    def chunk(name, data):
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
    rows = zlib.compress((b"\0" + bits * width) * height)
    return (b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
            + chunk(b"IDAT", rows) + chunk(b"IEND", b""))


class Papers(Scenario):
    def make(self, command, name, *arguments, status=1):
        done = self.run_program(command, *FILES, *arguments, "--out", self.folder / name)
        self.assertEqual(done.returncode, status, done.stdout + done.stderr)
        return self.folder / name

    def report(self, *arguments, status=1, name="report"):
        return self.make("report", name, *arguments, status=status)

    def text(self, path, *arguments):
        return output("pdftotext", "-layout", *arguments, path, "-")


class PartOfAJob(Papers):
    def test_totals_are_those_of_the_part_and_the_whole_is_named(self):
        whole = self.assess(*FILES[:-2], status=1)
        cases = (("--link", "01T-02T.BB1", lambda t: t["link"] == "01T-02T.BB1"),
                 ("--operator", "t.", None), ("--building", "BACKBONE", None), ("--panel", "01T.A-P01", None))
        for option, name, belongs in cases:
            with self.subTest(option):
                out = self.report(option, name, name=option)
                part = json.loads((out / "assessment.json").read_text())
                self.check_sums(part)
                self.assertLess(0, part["summary"]["planned"])
                self.assertLess(part["summary"]["planned"], 1848)
                if belongs:
                    wanted = [t for t in whole["tests"] if belongs(t)]
                    self.assertEqual([(t["strand"], t["loss_db"], t["outcome"]) for t in part["tests"]],
                                     [(t["strand"], t["loss_db"], t["outcome"]) for t in wanted])
                text = " ".join(self.text(out / "report.pdf").split())
                self.assertRegex(text, rf"{1848 - part['summary']['planned']} of 1848 tests")
                self.assertIn("Part of the job that is reported", text)
                self.assertIn("1848 tests due", text)

    def test_readings_and_references_still_belong_to_their_tests(self):
        whole = {(t["link"], t["strand"], t["wavelength_nm"], t["direction"]): t for t in self.assess(*FILES[:-2])["tests"]}
        out = self.report("--cable", "FC-011", "--only", "json")
        part = json.loads((out / "assessment.json").read_text())
        for test in part["tests"]:
            before = whole[test["link"], test["strand"], test["wavelength_nm"], test["direction"]]
            for key in ("loss_db", "limit_db", "uncertainty_db", "outcome", "working"):
                self.assertEqual(test[key], before[key])

    def test_a_name_that_the_job_does_not_have_is_refused_with_those_it_has(self):
        done = self.run_program("report", *FILES, "--building", "Hall 99", "--out", self.folder / "out")
        self.assertEqual(done.returncode, 2)
        self.assertIn("Hall 99", done.stderr)
        self.assertIn("backbone", done.stderr)
        self.assertFalse((self.folder / "out").exists())


class German(Papers):
    def test_no_english_sentence_is_left(self):
        out = self.report("--language", "de", "--link", "01T-02T.BB1", "--link", "H02-H13.TR11", "--link", "01T-04T.BB3")
        self.no_english(out / "report.pdf")
        whole = self.report("--language", "de", name="whole")
        self.no_english(whole / "report.pdf")
        text = self.text(whole / "report.pdf")
        # How the files were understood quotes their cells, which stay as they were written.
        ours = text[: text.rindex("Wie die Dateien verstanden wurden")]
        for words in ("Inhalt", "bedingt nicht bestanden", "28.05.2026", "−0,66", "Seite"):
            self.assertIn(words, text)
        self.assertIsNone(re.search(r"\b\d\.\d\d\b(?!\.)", re.sub(r"\d\d\.\d\d\.\d{4}|ISO\S*.*", "", ours)), "a decimal point")
        self.assertIn("/Lang (de)", subprocess.run(["qpdf", "--qdf", whole / "report.pdf", "-"], capture_output=True,
                                                   check=True).stdout.decode("latin-1"))

    def no_english(self, path):
        text = output("pdftotext", path, "-")
        left = [line for line in text.split("\n") if ENGLISH.search(re.sub(r"„[^“]*“|\"[^\"]*\"|\b[a-z]+(-[a-z]+)+\b", "", line))]
        self.assertEqual(left, [])

    def test_outcomes_of_the_workbook_are_german_and_live(self):
        out = self.report("--language", "de", "--only", "xlsx")
        names = output("unzip", "-p", out / "tests.xlsx", "xl/workbook.xml")
        self.assertIn("Prüfungen", names)
        sheet = output("unzip", "-p", out / "tests.xlsx", "xl/worksheets/sheet2.xml")
        self.assertIn("bedingt bestanden", sheet)
        self.assertNotIn("conditional pass", sheet)


class Pages(Papers):
    def test_every_paper_is_sound_and_says_what_it_is(self):
        for paper, size in (("a4", "595.28 x 841.89"), ("letter", "612 x 792")):
            out = self.report("--paper", paper, "--only", "pdf", name=paper)
            path = out / "report.pdf"
            self.assertIn("No syntax or stream encoding errors", output("qpdf", "--check", path))
            self.assertIn(size, output("pdfinfo", path))
            objects = json.loads(output("qpdf", "--json=1", "--json-key=objects", path))["objects"]
            catalog = next(o for o in objects.values() if isinstance(o, dict) and o.get("/Type") == "/Catalog")
            self.assertEqual(catalog["/Lang"], "en")
            self.assertTrue(catalog["/ViewerPreferences"]["/DisplayDocTitle"])
            intent = objects[catalog["/OutputIntents"][0]]
            self.assertEqual(intent["/OutputConditionIdentifier"], "sRGB IEC61966-2.1")
            # What the description claims is XML.
            described = output("qpdf", "--show-object=" + catalog["/Metadata"].replace(" R", "").replace(" ", ","),
                               "--filtered-stream-data", path)
            ElementTree.fromstring(described.strip())
            self.check_archive(path, objects, catalog, described)

    # No validator of PDF/A is in the registries we use; these are the demands that can be looked up in the file.
    # SOURCE: ISO 19005-2, clauses as named (from memory).
    def check_archive(self, path, objects, catalog, described):
        info = objects[self.trailer(path)["/Info"]]
        self.assertIn("<pdfaid:part>2</pdfaid:part>", described)  # 6.6.4
        self.assertIn("<pdfaid:conformance>B</pdfaid:conformance>", described)
        self.assertIn(f"<pdf:Producer>{info['/Producer']}</pdf:Producer>", described)  # 6.6.2.3: both say the same
        self.assertIn(info["/Title"], described)
        self.assertEqual(len(self.trailer(path)["/ID"]), 2)  # 6.1.3
        self.assertNotIn("/Encrypt", self.trailer(path))
        intent = objects[catalog["/OutputIntents"][0]]
        self.assertEqual(intent["/S"], "/GTS_PDFA1")  # 6.2.3
        self.assertEqual([], [key for key in ("/OpenAction", "/AA", "/Names", "/OCProperties", "/AcroForm") if key in catalog])
        values = [o for o in objects.values() if isinstance(o, dict)]
        for each in values:
            if each.get("/Subtype") == "/Link":  # 6.3.2: printed, not hidden; 6.5.1: no action
                self.assertEqual(each["/F"], 4)
                self.assertNotIn("/A", each)
            if each.get("/Type") == "/Page":  # 6.2.10: blending in the colours of the output intent
                self.assertEqual(each["/Group"]["/CS"], "/DeviceRGB")
                self.assertNotIn("/AA", each)
            if each.get("/Type") == "/FontDescriptor":  # 6.2.11.4
                self.assertTrue({"/FontFile", "/FontFile2", "/FontFile3"} & set(each))
            self.assertNotEqual(each.get("/Interpolate"), True)  # 6.2.8
            self.assertNotIn(each.get("/Filter"), ("/LZWDecode", "/Crypt"))  # 6.1.7.2
        fonts = output("pdffonts", path).splitlines()[2:]
        self.assertTrue(fonts)
        for row in fonts:  # embedded, subset, mapped to Unicode
            self.assertRegex(row, r" yes yes yes ")

    def trailer(self, path):
        return json.loads(output("qpdf", "--json=1", "--json-key=objects", path))["objects"]["trailer"]

    def test_a_strand_that_fails_has_a_page_with_its_readings_and_the_next_step(self):
        out = self.report("--link", "01T-02T.BB1")
        failed = [t for t in json.loads((out / "assessment.json").read_text())["tests"] if t["outcome"] == "fail"]
        self.assertEqual({t["strand"] for t in failed}, {"17"})
        pages = self.text(out / "report.pdf").split("\f")
        page = next(page for page in pages if "Exceptions, a page for each strand" in page)
        self.assertIn("01T-02T.BB1 / 17", page)
        for words in ("Working of the limit at", "Readings, in the order they were recorded", "Findings and next step"):
            self.assertIn(words, page)
        # The level of the file (SOURCE: readings-crew-k.csv, row 34) stands there as it was read.
        self.assertRegex(page, r"2026-05-19 06:23:57Z +1310 +A→B +−8\.20 dBm .*counts")
        self.assertIn("row 34", " ".join(page.split()))

    # SOURCE: ISO 32000-1, 14.8.4: structure types and where they stand.
    def test_the_report_tells_a_screen_reader_what_is_what(self):
        path = self.report("--only", "pdf", "--link", "01T-02T.BB1", "--link", "H02-H13.TR11") / "report.pdf"
        self.assertRegex(output("pdfinfo", path), r"Tagged: +yes")
        shape = output("pdfinfo", "-struct", path)
        self.assertGreaterEqual(len(re.findall(r"^    H1 ", shape, re.M)), 11)  # the contents and ten sections
        self.assertRegex(shape, r"(?m)^    Table \(block\)\n      TR\n        TH:?\n")
        for row in re.findall(r"(?m)^      TR\n((?:        .*\n| {9,}.*\n)+)", shape):
            self.assertGreater(len(re.findall(r"(?m)^        T[DH]", row)), 1)
        objects = json.loads(output("qpdf", "--json=1", "--json-key=objects", path))["objects"].values()
        elements = [o for o in objects if isinstance(o, dict) and "/S" in o and "/P" in o]
        figures = [o["/Alt"] for o in elements if o["/S"] == "/Figure"]
        self.assertTrue(any(re.match(r"Bar: loss [\d.]+ dB with U [\d.]+ dB, limit [\d.]+ dB\.$", told) for told in figures), figures)
        self.assertTrue(any(re.match(r"Strands 1 to \d+: .*pass", told) for told in figures), figures)
        self.assertTrue(all(o["/A"]["/Scope"] == "/Column" for o in elements if o["/S"] == "/TH"))
        catalog = next(o for o in objects if isinstance(o, dict) and o.get("/Type") == "/Catalog")
        self.assertTrue(catalog["/MarkInfo"]["/Marked"])
        # Read in the order of the structure, cells of a row follow one another.
        told = " ".join(output("pdfinfo", "-struct-text", path).split())
        self.assertRegex(told, r'TD "01T-02T\.BB1" TD "\d+"')

    def test_lengths_in_feet(self):
        out = self.report("--length-unit", "ft", "--link", "01T-02T.BB1", "--only", "pdf")
        # SOURCE: 420 m of the schedule at 0.3048 m to the foot (international foot, 1959): 1377.95 ft.
        self.assertIn("1378 ft", self.text(out / "report.pdf"))

    def test_a_picture_stands_on_the_cover_and_a_broken_one_is_refused(self):
        good = self.file("sign.png", picture(120, 40))
        out = self.report("--client-picture", good, "--contractor-picture", good, "--only", "pdf", "--link", "01T-02T.BB1")
        images = [row for row in output("pdfimages", "-list", "-l", "1", out / "report.pdf").split("\n") if " image " in row]
        self.assertGreaterEqual(len(images), 1)
        self.assertEqual(images[0].split()[3:5], ["120", "40"])
        # A JPEG that another program wrote goes into the file as it is; cut off it is refused.
        output("pdftoppm", "-jpeg", "-r", "30", "-f", "1", "-l", "1", "-singlefile", out / "report.pdf", self.folder / "photo")
        photo = (self.folder / "photo.jpg").read_bytes()
        again = self.report("--client-picture", self.folder / "photo.jpg", "--only", "pdf", "--link", "01T-02T.BB1", name="again")
        self.assertIn("jpeg", output("pdfimages", "-list", "-l", "1", again / "report.pdf"))
        whole = picture(120, 40)
        for name, content, words in (("cut.png", whole[:-30], "broken or cut off"), ("wide.png", picture(4001, 1), "4001 by 1 pixels"),
                                     ("sign.gif", b"GIF89a" + b"\0" * 30, "neither PNG nor JPEG"), ("none.png", b"", "empty"),
                                     ("half.jpg", photo[: len(photo) // 2], "broken or cut off"),
                                     ("cut.jpg", b"\xff\xd8\xff\xe0" + b"\0" * 40, "broken or cut off")):
            with self.subTest(name):
                done = self.run_program("report", *FILES, "--client-picture", self.file(name, content), "--out", self.folder / "none")
                self.assertEqual(done.returncode, 2, done.stdout)
                self.assertIn(words, done.stderr)
                self.assertFalse((self.folder / "none").exists())


class Certificates(Papers):
    def codes(self, path, page=1):
        """What a reader finds on a page. It overlooks one or another of many codes side by side, so it looks thrice."""
        found = set()
        for resolution in (150, 200, 300):
            output("pdftoppm", "-r", resolution, "-png", "-f", page, "-l", page, "-singlefile", path, self.folder / "page")
            found |= set(output("zbarimg", "-q", "--raw", self.folder / "page.png").strip().split("\n"))
        return sorted(found)

    def test_a_page_for_each_link(self):
        path = self.make("certificates", "all.pdf")
        self.assertIn("No syntax or stream encoding errors", output("qpdf", "--check", path))
        self.assertIn("Pages:           40", output("pdfinfo", path))
        self.assertEqual(path.read_bytes(), self.make("certificates", "again.pdf").read_bytes())

    def test_what_it_says_is_what_the_assessment_says(self):
        tests = [t for t in self.assess(*FILES[:-2], status=1)["tests"] if t["link"] == "01T-02T.BB1"]
        path = self.make("certificates", "one.pdf", "--link", "01T-02T.BB1", "--address", "https://site.example/links/")
        text = self.text(path)
        for words in ("01T-02T.BB1", "ISO/IEC 14763-3:2024", "FC-011", "one-cord", "Tested by", "Accepted for the owner",
                      "K-01", "closing check"):
            self.assertIn(words, text)
        shown = re.search(r"(\d+) of (\d+) tests stand here", text)
        self.assertEqual(int(shown[2]) if shown else len(tests), len(tests))
        failed = [t for t in tests if t["outcome"] == "fail"]
        self.assertGreater(len(failed), 0)
        for test in failed:
            self.assertIn(f"{test['loss_db']:.2f}", text)
        self.assertEqual(self.codes(path), ["https://site.example/links/01T-02T.BB1"])

    def test_in_german(self):
        path = self.make("certificates", "de.pdf", "--language", "de")
        German.no_english(self, path)

    def test_labels_hold_the_names_of_the_schedule(self):
        path = self.make("labels", "labels.pdf", "--cable", "FC-011", "--each", "strand", status=0)
        self.assertIn("No syntax or stream encoding errors", output("qpdf", "--check", path))
        codes = self.codes(path)
        self.assertEqual(len(codes), 24)  # three across, eight down
        self.assertEqual(codes[:2], ["01T-02T.BB1 / 01", "01T-02T.BB1 / 02"])
        text = self.text(path)
        self.assertIn("01T.A-P01:01", text)
        ends = self.make("labels", "ends.pdf", "--paper", "letter", "--each", "end", status=0)
        self.assertIn("Pages:           3", output("pdfinfo", ends))  # 80 ends on sheets of thirty
        links = self.text(self.make("labels", "links.pdf", "--cable", "FC-011", status=0))
        self.assertIn("01T.A-P01:01 \u2026 ", links)
        self.assertNotIn("\u2026\n", links)  # the last port of a backbone is not cut off

    def test_labels_too_small_to_read_are_refused(self):
        done = self.run_program("labels", *FILES, "--across", "12", "--out", self.folder / "small.pdf")
        self.assertEqual(done.returncode, 2)
        self.assertIn("at least 18 by 8 mm", done.stderr)
        self.assertFalse((self.folder / "small.pdf").exists())


if __name__ == "__main__":
    unittest.main()
