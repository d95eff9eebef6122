"""Books of several crews brought together, carried, backed up; what a stranger can check of them."""

import base64
import gzip
import hashlib
import json
import os
import sqlite3
import subprocess

from support import Crews, root

campus = root / "demo-campus"


class Merging(Crews):
    def book_of(self, crew):
        """A crew's own book: the shared schedule, the shared references, its own readings."""
        self.as_device(crew)
        book = self.folder / f"{crew}.book"
        self.book_do("create", book, "--name", "Campus")
        readings = campus / ("readings-crew-t.xlsx" if crew == "t" else f"readings-crew-{crew}.csv")
        self.book_do("add", book, "--schedule", campus / "schedule.csv", "--references", campus / "references.csv",
                     "--readings", readings, status=1)
        return book

    def test_three_crews_in_the_evening_come_to_what_one_book_says(self):
        crews = [self.book_of(crew) for crew in "krt"]
        self.as_device("office")
        office = self.folder / "office.book"
        self.book_do("create", office, "--name", "Campus")
        self.book_do("merge", office, *reversed(crews))
        again = self.book_do("merge", office, *crews)
        self.assertEqual(again.count(" 0 facts new"), 3, again)
        merged = self.assess("--book", office, "--rule", "iso-14763-3-2024", status=1)
        # demo-campus/expected.md, worked out by the scenario's own arithmetic
        self.assertEqual(merged["summary"], {"planned": 1848, "pass": 1711, "conditional_pass": 0, "conditional_fail": 0,
                                             "fail": 16, "not_tested": 21, "invalid": 100})
        self.assertIn("in order.", self.book_do("verify", office))

    def test_what_two_people_should_look_at_is_said(self):
        books = []
        for crew, length, loss in (("a", 100, 0.4), ("b", 120, 0.5)):
            self.as_device(crew)
            book = self.folder / f"{crew}.book"
            self.book_do("create", book, "--name", "Hall")
            schedule = self.file(f"{crew}-plan.csv", f"link,strand,length_m,limit_db\nL1,1,{length},1.0\n")
            readings = self.file(f"{crew}-day.csv", f"link,strand,wavelength_nm,direction,loss_db\nL1,1,1310,AB,{loss}\n")
            self.book_do("add", book, "--schedule", schedule, "--readings", readings)
            books.append(book)
        told = self.book_do("merge", *books)
        self.assertIn("1 strands were read by more than one device", told)
        self.assertIn("L1 1", told)
        self.assertIn("with other values", told)

    def test_a_stranger_checks_chain_and_signature_without_the_program(self):
        """docs/carry-files.md says how: SHA-256 by Python's library, ECDSA by the openssl command."""
        book = self.book_of("k")
        carried = self.folder / "k.carry"
        self.book_do("carry", book, "--to", carried)
        lines = gzip.decompress(carried.read_bytes()).decode().splitlines()
        self.assertEqual(lines[0], "strandbook carry 1")
        facts = [line.split("\t", 9) for line in lines if line.startswith("fact\t")]
        heads = [line.split("\t") for line in lines if line.startswith("head\t")]
        before = "0" * 64
        for number, (_, id_, device, sequence, time, kind, previous, digest, _, body) in enumerate(facts, 1):
            self.assertEqual((int(sequence), previous), (number, before))
            told = "\n".join(["strandbook fact 1", id_, device, sequence, time, kind, body, previous, ""])
            before = hashlib.sha256(told.encode()).hexdigest()
            self.assertEqual(digest, before)
        key = next(json.loads(fact[9])["key"] for fact in facts if fact[5] == "device key")
        public = self.file("key.der", base64.b64decode(key))
        _, device, sequence, digest, signature = heads[-1]
        self.assertEqual((int(sequence), digest), (len(facts), before))
        statement = self.file("statement", f"strandbook head 1\n{device}\n{sequence}\n{digest}\n")
        check = ["openssl", "dgst", "-sha256", "-keyform", "DER", "-verify", public, "-signature",
                 self.file("signature", base64.b64decode(signature)), statement]
        self.assertEqual(subprocess.run(check, capture_output=True, text=True, check=False).stdout, "Verified OK\n")
        statement.write_text(statement.read_text().replace("head 1", "head 2"))
        self.assertNotEqual(subprocess.run(check, capture_output=True, check=False).returncode, 0)

    def test_a_backup_restores_and_a_book_cut_back_is_found(self):
        book = self.book_of("r")
        ends = self.file("ends.txt", self.book_do("ends", book))
        self.assertIn("checked by restoring", self.book_do("backup", book, "--to", self.folder / "r.backup"))
        restored = self.folder / "restored.book"
        self.book_do("restore", self.folder / "r.backup", "--to", restored)
        self.book_do("verify", restored, "--against", ends)
        self.assertIn("name that is free", self.run_program("book", "restore", self.folder / "r.backup", "--to", restored).stderr)
        with sqlite3.connect(restored) as database:
            for guard in ("facts_are_kept", "heads_are_kept"):
                database.execute(f"drop trigger {guard}")
            (second_last,) = database.execute("select max(sequence) from heads where sequence < (select max(sequence) from heads)").fetchone()
            for table in ("heads", "facts"):
                database.execute(f"delete from {table} where sequence > ?", (second_last,))
        told = self.book_do("verify", restored, "--against", ends, status=1)
        self.assertIn("was seen elsewhere", " ".join(told.split()))

    def test_a_lost_tablet_is_cut_off(self):
        book = self.book_of("k")
        tablet = next(line.split()[0] for line in self.book_do("devices", book).splitlines() if " facts, in order" in line)
        self.as_device("office")
        self.book_do("retire", book, tablet, "--person", "R.", "--reason", "left on the train")
        self.as_device("k")
        before = self.assess("--book", book, "--rule", "iso-14763-3-2024", status=1)["summary"]
        late = self.file("late.csv", "link,strand,wavelength_nm,direction,loss_db\n01T-02T.BB1,17,1310,AB,0.1\n")
        self.book_do("add", book, "--readings", late)
        self.assertEqual(self.assess("--book", book, "--rule", "iso-14763-3-2024", status=1)["summary"], before)
        self.assertIn("retired after number", self.book_do("verify", book))

    def test_sources_that_are_none(self):
        book = self.book_of("r")
        for name, content in (("empty", b""), ("text.csv", b"link,strand\n"), ("torn.carry", gzip.compress(b"strandbook carry 1\nfact\tx"))):
            done = self.run_program("book", "merge", book, self.file(name, content))
            self.assertEqual(done.returncode, 2, name)
            self.assertIn(name, done.stderr)
        self.assertEqual(self.run_program("book", "merge", book, self.folder / "nobody.book").returncode, 2)
        self.assertIn("in order.", self.book_do("verify", book))
