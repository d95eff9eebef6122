"""The stateless contract: schedule, references and readings in; outcomes, JSON and exit status out."""

import csv
import json
import math
import signal
import subprocess
import time

from support import Scenario, program

SCHEDULE = """link,strand,fibre,length_m,connections,splices,reference_method,directions
TR1-TR2,01,OM4,100,2,0,one-cord,either
TR1-TR2,02,OM4,100,2,0,one-cord,either
"""
REFERENCES = """reference,wavelength_nm,power_dbm,method,time
M1,850,-20.00,one-cord,2026-03-02T07:30
M1,1300,-21.00,one-cord,2026-03-02T07:30
"""
READINGS = """link,strand,wavelength_nm,direction,power_dbm,time
TR1-TR2,01,850,AB,-20.62,2026-03-02T08:01
TR1-TR2,01,1300,AB,-21.40,2026-03-02T08:02
TR1-TR2,02,850,AB,-21.85,2026-03-02T08:03
TR1-TR2,02,1300,AB,-21.45,2026-03-02T08:04
"""


class Contract(Scenario):
    def job(self, schedule=SCHEDULE, references=REFERENCES, readings=READINGS):
        return ("--schedule", self.file("s.csv", schedule), "--references", self.file("f.csv", references),
                "--readings", self.file("r.csv", readings))

    def test_loss_limit_and_outcome(self):
        result = self.assess(*self.job(), "--rule", "iso-11801-1-2017", status=0)
        test = self.verdict_of(result, "02", 850)
        self.assertAlmostEqual(test["loss_db"], 1.85)
        self.assertAlmostEqual(test["limit_db"], 1.85)  # exactly at the limit is within it
        self.assertEqual(test["outcome"], "pass")
        self.assertEqual(result["summary"]["pass"], 4)
        self.assertEqual(result["rule"]["id"], "iso-11801-1-2017")

    def test_guard_band_makes_the_marginal_one_conditional(self):
        result = self.assess(*self.job(), "--rule", "iso-11801-1-2017", "--guard", "U", status=0)
        test = self.verdict_of(result, "02", 850)
        self.assertEqual(test["outcome"], "conditional pass")
        self.assertEqual(test["conformance_probability"], 0.5)
        self.assertAlmostEqual(test["expanded_uncertainty_db"], 2 * test["uncertainty_db"], places=5)

    # SOURCE: normal distribution (JCGM 106:2012, 7.4), here through Python's math.erf.
    def test_probability_is_that_of_the_normal_distribution(self):
        for test in self.assess(*self.job(), "--rule", "iso-11801-1-2017")["tests"]:
            z = test["margin_db"] / test["uncertainty_db"]
            self.assertAlmostEqual(test["conformance_probability"], (1 + math.erf(z / math.sqrt(2))) / 2, places=4)

    def test_missing_and_failing_are_status_1(self):
        rows = READINGS.splitlines()
        result = self.assess(*self.job(readings="\n".join(rows[:3]) + "\n"), "--rule", "iso-11801-1-2017", status=1)
        self.assertEqual(result["summary"]["not_tested"], 2)
        self.assertIn("No reading", self.verdict_of(result, "02", 850)["reason"])
        result = self.assess(*self.job(), "--limit", "0.5", "--wavelengths", "850,1300", status=1)
        self.assertEqual(result["summary"]["fail"], 2)

    def test_same_input_same_bytes(self):
        first, second = self.folder / "1.json", self.folder / "2.json"
        for out in (first, second):
            self.run_program("assess", *self.job(), "--rule", "tia-568.3-e", "--json", out)
        self.assertEqual(first.read_bytes(), second.read_bytes())

    def test_csv_has_one_line_per_test(self):
        out = self.folder / "out.csv"
        self.run_program("assess", *self.job(), "--rule", "iso-11801-1-2017", "--csv", out, "-q")
        with open(out, encoding="utf-8") as lines:
            rows = list(csv.DictReader(lines))
        self.assertEqual(len(rows), 4)
        self.assertEqual({row["strand"] for row in rows}, {"01", "02"})
        self.assertEqual(rows[0]["outcome"], "pass")

    def test_json_on_standard_output_is_not_mixed_with_words(self):
        done = self.run_program("assess", *self.job(), "--rule", "iso-11801-1-2017", "--json", "-")
        json.loads(done.stdout)

    def test_terminal_summary_is_plain_where_nobody_sees_colour(self):
        done = self.run_program("assess", *self.job(), "--rule", "iso-11801-1-2017")
        self.assertIn("4 tests planned", done.stdout)
        self.assertNotIn("\x1b", done.stdout)
        self.assertLessEqual(max(len(line) for line in done.stdout.splitlines()), 100)

    def test_a_rule_per_strand(self):
        schedule = ("link,strand,fibre,length_m,connections,splices,reference_method,rule,limit_db\n"
                    "A,1,OM4,100,2,0,one-cord,iso-11801-1-2017,\nB,1,OM4,100,2,0,one-cord,,1.20\n")
        readings = "link,strand,wavelength_nm,direction,loss_db\nA,1,850,AB,1.3\nA,1,1300,AB,1.3\nB,1,850,AB,1.3\n"
        result = self.assess("--schedule", self.file("s.csv", schedule), "--readings", self.file("r.csv", readings))
        self.assertEqual(self.verdict_of(result, "A", 850)["outcome"], "pass")
        self.assertEqual(self.verdict_of(result, "B", 850)["outcome"], "fail")
        self.assertEqual(self.verdict_of(result, "B", 850)["working"][0]["standing"], "own")


class BadInput(Scenario):
    def test_missing_file(self):
        self.assertIn("s.csv", self.refused("assess", "--schedule", self.folder / "s.csv", "--rule", "tia-568.3-e"))

    def test_empty_file(self):
        self.refused("assess", "--schedule", self.file("s.csv", ""), "--rule", "tia-568.3-e")

    def test_no_rule(self):
        words = self.refused("assess", "--schedule", self.file("s.csv", SCHEDULE))
        self.assertIn("iso-14763-3-2024", words)

    def test_unknown_rule_in_the_schedule(self):
        schedule = "link,strand,fibre,length_m,connections,splices,rule\nA,1,OM4,100,2,0,tia-999\n"
        self.assertIn("tia-999", self.refused("assess", "--schedule", self.file("s.csv", schedule)))

    def test_usage(self):
        self.assertEqual(self.run_program("assess", "--no-such-option").returncode, 2)
        self.assertEqual(self.run_program().returncode, 2)
        self.assertEqual(self.run_program("--help").returncode, 0)

    def test_cancelled_work_leaves_what_was_there(self):
        readings = "link,strand,wavelength_nm,loss_db\n" + "".join(f"A,{n},1310,0.3\n" for n in range(60000))
        schedule = "link,strand,limit_db\n" + "".join(f"A,{n},1.0\n" for n in range(60000))
        out = self.folder / "out"
        out.mkdir()
        (out / "report.pdf").write_text("earlier")
        command = [program, "report", "--schedule", self.file("s.csv", schedule), "--readings", self.file("r.csv", readings),
                   "--limit", "1", "--out", out, "--only", "pdf"]
        with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as work:
            while len(list(out.iterdir())) < 2 and work.poll() is None:
                time.sleep(0.01)  # until it writes
            time.sleep(0.1)
            work.send_signal(signal.SIGINT)
            said, wrong = work.communicate(timeout=60)
        self.assertEqual(work.returncode, 2, said + wrong)
        self.assertIn("cancelled", wrong)
        self.assertEqual([path.name for path in out.iterdir()], ["report.pdf"])
        self.assertEqual((out / "report.pdf").read_text(), "earlier")

    def test_a_full_disk_leaves_nothing(self):
        done = self.run_program("assess", "--schedule", self.file("s.csv", SCHEDULE), "--rule", "tia-568.3-e",
                                "--json", "/dev/full")
        self.assertEqual(done.returncode, 2)
        self.assertIn("disk is full", done.stderr)

    def test_an_unwritable_folder(self):
        done = self.run_program("assess", "--schedule", self.file("s.csv", SCHEDULE), "--rule", "tia-568.3-e",
                                "--json", "/nowhere/out.json")
        self.assertEqual(done.returncode, 2)
        self.assertFalse(list(self.folder.glob("*.part*")))

    def test_rows_that_cannot_be_used_are_kept_with_their_place(self):
        schedule = ("link,strand,fibre,length_m,connections,splices\nA,1,OM4,100,2,0\nA,2,OM4,-5,2,0\nA,3,OM9,100,2,0\n"
                    "A,4,OM4,inf,2,0\nA,1,OM4,100,2,0\nA,5,OM4,999999,2,0\n")
        readings = ("link,strand,wavelength_nm,direction,loss_db\nA,1,850,AB,0.5\nA,1,1300,AB,nan\nA,9,850,AB,0.5\n"
                    "A,1,850,XY,0.4\n")
        result = self.assess("--schedule", self.file("s.csv", schedule), "--readings", self.file("r.csv", readings),
                             "--rule", "iso-11801-1-2017", "--reference-method", "one-cord", status=1)
        places = {(row["file"].rsplit("/", 1)[-1], row["row"]) for row in result["unread_rows"]}
        for place in (("s.csv", 3), ("s.csv", 4), ("s.csv", 5), ("s.csv", 6), ("s.csv", 7), ("r.csv", 3), ("r.csv", 5)):
            self.assertIn(place, places)
        for row in result["unread_rows"]:
            self.assertTrue(row["found"] and row["expected"], row)
        self.assertEqual(len(result["unmatched_readings"]), 1)
        self.assertEqual(self.verdict_of(result, "1", 850)["outcome"], "pass")
