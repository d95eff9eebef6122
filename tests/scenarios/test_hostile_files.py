"""Files that are made to harm: bombs, entities, formulas, statements, paths. docs/security.md names these tests."""

import csv
import io
import json
import resource
import zipfile

from support import Scenario

RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
TYPES = """<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
<Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/></Types>"""
BOOK = f"""<?xml version="1.0"?><workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="{RELATIONS}">
<sheets><sheet name="S" sheetId="1" r:id="rId1"/></sheets></workbook>"""
LINKS = f"""<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
<Relationship Id="rId1" Type="{RELATIONS}/worksheet" Target="worksheets/sheet1.xml"/></Relationships>"""
HOSTILE_NAMES = ["'; DROP TABLE facts; --", '"); DELETE FROM facts; --', "=cmd|'/c calc'!A1", "+1+1", "@SUM(A1)", "-2+3", "\t=1+1",
                 "../../etc/passwd", "<script>alert(1)</script>", "{{7*7}}", "%n%s", "\\x27 OR 1=1"]


def workbook(sheet):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as parts:
        parts.writestr("[Content_Types].xml", TYPES)
        parts.writestr("_rels/.rels", LINKS.replace("worksheets/sheet1.xml", "xl/workbook.xml").replace("/worksheet", "/officeDocument"))
        parts.writestr("xl/workbook.xml", BOOK)
        parts.writestr("xl/_rels/workbook.xml.rels", LINKS)
        with parts.open("xl/worksheets/sheet1.xml", "w", force_zip64=True) as member:
            for piece in sheet:
                member.write(piece)
    return out.getvalue()


class HostileFiles(Scenario):
    def import_within(self, path, megabytes):
        """The program's words of refusal; no program of these tests takes more memory than this."""
        words = self.refused("import", "--readings", path)
        self.assertLess(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024, megabytes)
        return words

    def test_a_zip_bomb_ends_at_a_limit(self):
        row = b'<row r="1"><c r="A1"><v>1</v></c></row>' * 20000

        def sheet():
            yield b'<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>'
            for _ in range(1500):  # 1.2 GB that pack to a few megabytes
                yield row
            yield b"</sheetData></worksheet>"

        path = self.file("bomb.xlsx", workbook(sheet()))
        self.assertLess(path.stat().st_size, 40e6)
        self.assertIn("too large", self.import_within(path, 4000))

    def test_entities_are_not_expanded(self):
        entities = "".join(f'<!ENTITY e{i} "{f"&e{i - 1};" * 10 if i else "x" * 100}">' for i in range(12))
        sheet = f"""<?xml version="1.0"?><!DOCTYPE worksheet [{entities}]>
<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>&e11;</t></is></c></row>
</sheetData></worksheet>"""
        self.assertIn("expected", self.import_within(self.file("laughs.xlsx", workbook([sheet.encode()])), 1000))

    def test_an_external_entity_reads_no_file(self):
        secret = self.file("secret.txt", "strand,loss_db\nTOP-SECRET,0.4\n")
        sheet = f"""<?xml version="1.0"?><!DOCTYPE worksheet [<!ENTITY out SYSTEM "file://{secret}">]>
<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>&out;</t></is></c></row>
</sheetData></worksheet>"""
        self.assertNotIn("SECRET", self.import_within(self.file("outside.xlsx", workbook([sheet.encode()])), 1000))

    def test_names_stay_names(self):
        """In a book, its files and its exports: nothing is run, and a spreadsheet sees texts."""
        schedule, readings = io.StringIO(), io.StringIO()
        plan, read = csv.writer(schedule), csv.writer(readings)
        plan.writerow(["link", "strand", "fibre", "length_m", "connections", "splices", "end_a"])
        read.writerow(["link", "strand", "wavelength_nm", "direction", "loss_db", "operator"])
        for i, name in enumerate(HOSTILE_NAMES):
            plan.writerow([name, "01", "OS2", 400, 2, 0, HOSTILE_NAMES[i - 1]])
            read.writerow([name, "01", 1310, "AB", "0.40", name])
        self.file("schedule.csv", schedule.getvalue())
        self.file("readings.csv", readings.getvalue())
        self.assertEqual(self.run_program("book", "create", "b.book", "--name", HOSTILE_NAMES[0]).returncode, 0)
        added = self.run_program("book", "add", "b.book", "--schedule", "schedule.csv", "--readings", "readings.csv")
        self.assertEqual(added.returncode, 0, added.stdout + added.stderr)
        choice = ("--rule", "iso-14763-3-2024", "--reference-method", "one-cord", "--person", HOSTILE_NAMES[1], "--reason", HOSTILE_NAMES[2])
        self.assertEqual(self.run_program("book", "rule", "b.book", *choice).returncode, 0)
        done = self.run_program("assess", "--book", "b.book", "--json", "out.json", "--csv", "out.csv")
        self.assertIn(done.returncode, (0, 1), done.stderr)
        found = {test["link"] for test in json.loads((self.folder / "out.json").read_text())["tests"]}
        self.assertEqual(found, {name.strip() for name in HOSTILE_NAMES})
        self.assertEqual(self.run_program("book", "verify", "b.book").returncode, 0)
        with open(self.folder / "out.csv", newline="", encoding="utf-8-sig") as lines:
            cells = [cell for row in csv.reader(lines) for cell in row]
        begin = tuple("=+@\t")  # a "-" begins a number too
        self.assertEqual([cell for cell in cells if cell.startswith(begin)], [], "cells that a spreadsheet would run")

    def test_an_import_keeps_to_its_folder(self):
        """The name of a file that was brought in is a name: a backup that is restored writes nowhere else."""
        (self.folder / "deep/deeper").mkdir(parents=True)
        self.file("schedule.csv", "link,strand,fibre,length_m,connections,splices\nL1,01,OS2,100,2,0\n")
        self.run_program("book", "create", "deep/deeper/b.book", "--name", "N")
        added = self.run_program("book", "add", "deep/deeper/b.book", "--schedule", "deep/deeper/../../schedule.csv")
        self.assertEqual(added.returncode, 0, added.stderr)
        self.assertEqual(self.run_program("book", "backup", "deep/deeper/b.book", "--to", "b.backup").returncode, 0)
        before = set(self.folder.rglob("*"))
        self.assertEqual(self.run_program("book", "restore", "b.backup", "--to", "again.book").returncode, 0)
        fresh = set(self.folder.rglob("*")) - before
        self.assertEqual({path.name.removesuffix("-wal").removesuffix("-shm") for path in fresh}, {"again.book"})

    def test_what_a_file_wrote_moves_no_cursor(self):
        """Names with terminal sequences and broken bytes are shown as text, on both streams."""
        evil = "L\x1b]0;owned\x07\x1b[2J"
        day = self.file("day.csv", f"link,strand,wavelength_nm,loss_db,limit_db\n{evil},01,1310,9,1\n{evil},02,1310,x\x1b[31m,1\n")
        for arguments in (("assess", "--schedule", day, "--readings", day), ("import", "--readings", day), ("import", "--readings", self.file("\x1b[2J.csv", "a"))):
            done = self.run_program(*arguments)
            self.assertNotIn("\x1b", done.stdout + done.stderr)
            self.assertNotIn("\x07", done.stdout + done.stderr)
