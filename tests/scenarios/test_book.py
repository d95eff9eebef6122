"""The job in a book: the same outcomes as loose files, nothing overwritten, nothing acknowledged is lost."""

import json
import os
import re
import signal
import sqlite3
import subprocess
import time

from support import Scenario, program, root

campus = root / "demo-campus"
FILES = ("--schedule", campus / "schedule.csv", "--references", campus / "references.csv",
         "--readings", campus / "readings-crew-k.csv", "--readings", campus / "readings-crew-r.csv",
         "--readings", campus / "readings-crew-t.xlsx")


class Book(Scenario):
    def setUp(self):
        super().setUp()
        os.environ["STRANDBOOK_DEVICE"] = str(self.folder / "device")
        self.book = self.folder / "job.book"
        self.assertEqual(self.run_program("book", "create", self.book, "--name", "Campus").returncode, 0)

    def book_do(self, action, *arguments, status=0):
        done = self.run_program("book", action, self.book, *arguments)
        self.assertEqual(done.returncode, status, done.stdout + done.stderr)
        return done.stdout

    def small_job(self):
        schedule = self.file("s.csv", "link,strand,limit_db\nA,01,1.0\nA,02,1.0\n")
        readings = self.file("r.csv", "link,strand,wavelength_nm,direction,loss_db\nA,01,1310,AB,0.4\nA,02,1310,AB,1.7\n")
        self.book_do("add", "--schedule", schedule, "--readings", readings)

    def test_campus_in_a_book_is_the_campus_in_files(self):
        self.book_do("add", *FILES, status=1)
        self.book_do("rule", "--rule", "iso-14763-3-2024", "--person", "R.", "--reason", "contract")
        loose = self.assess(*FILES, "--rule", "iso-14763-3-2024", status=1)
        kept = self.assess("--book", self.book, status=1)
        self.assertEqual(kept["summary"], loose["summary"])
        self.assertEqual([t["outcome"] for t in kept["tests"]], [t["outcome"] for t in loose["tests"]])
        self.assertEqual([n["text"] for n in kept["import_notes"]], [n["text"] for n in loose["import_notes"]])
        # demo-campus/expected.md, worked out by the scenario's own arithmetic
        self.assertEqual(loose["summary"], {"planned": 1848, "pass": 1711, "conditional_pass": 0, "conditional_fail": 0,
                                            "fail": 16, "not_tested": 21, "invalid": 100})
        self.assertEqual(len(loose["unmatched_readings"]), 12)
        self.assertEqual(len(loose["unread_rows"]), 2)
        again = self.book_do("add", *FILES, status=1)
        self.assertIn("already", again)
        self.assertIn("2497 facts", self.book_do("verify"))

    def test_a_correction_is_a_new_fact(self):
        self.small_job()
        self.assertEqual(self.assess("--book", self.book, status=1)["summary"]["fail"], 1)
        history = self.book_do("history", "--link", "A", "--strand", "02")
        fact = re.search(r"Z  (\S+)  counts\n    reading", history).group(1)
        self.book_do("correct", fact, "--set", "loss_db=0.7", "--person", "K.", "--reason", "typed wrongly")
        self.assertEqual(self.assess("--book", self.book, status=0)["summary"]["pass"], 2)
        history = self.book_do("history", "--link", "A", "--strand", "02")
        self.assertIn("loss 1.7 dB", history)
        self.assertIn("typed wrongly", history)
        self.book_do("verify")

    def test_wrong_corrections_change_nothing(self):
        self.small_job()
        history = self.book_do("history", "--link", "A", "--strand", "02")
        fact = re.search(r"Z  (\S+)  counts\n    reading", history).group(1)
        ground = ("--person", "K.", "--reason", "x")
        self.refused("book", "correct", self.book, fact, "--set", "loss_db=much", *ground)
        self.refused("book", "correct", self.book, fact, "--set", "colour=blue", *ground)
        self.refused("book", "correct", self.book, "no-id", "--set", "loss_db=1", *ground)
        self.assertEqual(self.book_do("history", "--link", "A", "--strand", "02"), history)

    def test_a_changed_book_is_found_out(self):
        self.small_job()
        with sqlite3.connect(self.book) as database:
            for (name,) in database.execute("select name from sqlite_master where type='trigger'").fetchall():
                database.execute(f"drop trigger {name}")
            (table,) = next(iter(database.execute("select name from sqlite_master where type='table' and name like 'fact%'")))
            database.execute(f"update {table} set body = replace(body, '1.7', '0.7')")
        done = self.run_program("book", "verify", self.book)
        self.assertEqual(done.returncode, 1, done.stdout)

    def test_a_choice_that_the_book_does_not_hold_is_refused(self):
        ground = ("--person", "K.", "--reason", "x")
        for lost in (("--confirm", "padding"), ("--reference-valid", "8"), ("--uncertainty", "mine.json"),
                     ("--rule-file", "a.json", "--rule-file", "b.json")):
            self.assertIn(lost[0], self.refused("book", "rule", self.book, *lost, *ground))

    def test_an_own_rule_lives_on_in_the_book(self):
        self.small_job()
        rule = self.file("mine.json", json.dumps({
            "id": "own:mine", "title": "Mine", "document": "Mine", "edition": "1",
            "whole_link_limits": [{"wavelength_nm": 1310, "limit": {"value": 2.0, "unit": "dB", "clause": "", "standing": "own"}}]}))
        self.book_do("rule", "--rule", "own:mine", "--rule-file", rule, "--person", "K.", "--reason", "owner")
        rule.unlink()
        schedule = self.file("more.csv", "link,strand\nB,01\n")
        readings = self.file("more-r.csv", "link,strand,wavelength_nm,direction,loss_db\nB,01,1310,AB,1.9\n")
        self.book_do("add", "--schedule", schedule, "--readings", readings)
        result = self.assess("--book", self.book, status=1)
        self.assertEqual(result["rule"]["id"], "own:mine")
        self.assertEqual(self.verdict_of(result, "B")["outcome"], "pass")
        self.assertEqual(self.verdict_of(result, "B")["limit_db"], 2.0)

    def test_what_is_no_book_is_refused(self):
        self.refused("assess", "--book", self.file("x.book", "not a book"))
        self.refused("assess", "--book", self.folder / "none.book")
        self.refused("book", "create", self.book, "--name", "again")

    def test_killed_while_adding(self):
        """Whatever the moment, the book opens, is in order, and holds each file whole or not at all."""
        rows = "".join(f"A,{i:05d},1310,AB,0.4\n" for i in range(20000))
        readings = self.file("r.csv", "link,strand,wavelength_nm,direction,loss_db\n" + rows)
        environment = dict(os.environ)
        for attempt in range(6):
            with subprocess.Popen([program, "book", "add", str(self.book), "--readings", str(readings)],
                                  stdout=subprocess.PIPE, stderr=subprocess.PIPE, env=environment) as adding:
                time.sleep(0.05 + 0.12 * attempt)
                adding.send_signal(signal.SIGKILL)
            self.book_do("verify")
            with sqlite3.connect(f"file:{self.book}?mode=ro", uri=True) as database:
                (table,) = next(iter(database.execute("select name from sqlite_master where type='table' and name like 'fact%'")))
                (count,) = database.execute(f"select count(*) from {table}").fetchone()
            self.assertIn(count, (2, 20003))
        self.book_do("add", "--readings", readings)
        self.assertIn("20003 facts", self.book_do("verify"))


class Report(Scenario):
    def report_into(self, out):
        """Every file of the campus report, by name."""
        done = self.run_program("report", *FILES, "--rule", "iso-14763-3-2024", "--guard", "U", "--out", out,
                                "--created", "1780000000")
        self.assertEqual(done.returncode, 1, done.stderr)
        return {path.name: path.read_bytes() for path in out.iterdir()}

    def test_report_of_the_campus(self):
        out = self.folder / "report"
        first, written = self.report_into(out), self.report_into(out)
        self.assertEqual(set(written), {"report.pdf", "tests.xlsx", "tests.csv", "assessment.json"})
        self.assertEqual(first, written, "same input, other bytes")
        text = subprocess.run(["pdftotext", out / "report.pdf", "-"], capture_output=True, text=True, check=True).stdout
        for words in ("ISO/IEC 14763-3", "01T-02T.BB1", "Cautions", "from memory", "1848"):
            self.assertIn(words, text)
        self.assertEqual(json.loads(written["assessment.json"])["summary"]["planned"], 1848)
        # A spreadsheet program works every formula out again.
        done = subprocess.run(["python3", root / "tests/check_xlsx_recalc.py", out / "tests.xlsx", "--json",
                               out / "assessment.json"],
                              capture_output=True, text=True, check=False)
        self.assertEqual(done.returncode, 0, done.stdout + done.stderr)
