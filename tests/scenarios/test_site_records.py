"""Certificates of instruments and where light came out: loose files, a book, and what follows for a report."""

import json
import os
import subprocess

from support import Scenario

SCHEDULE = "cable,strand,near_port,far_port,limit_db\n" + "".join(
    f"K9,{i:02d},P-{i:02d},Q-{i:02d},1.6\n" for i in range(1, 9))
READINGS = "strand,wavelength_nm,loss_dB\n" + "".join(f"{i:02d},1310,{0.62 + i / 50:.2f}\n" for i in range(1, 9) if i != 7)
LIGHT = ("near_port,light_seen_at\nP-01,Q-01\nP-02,Q-02\nP-03,Q-04\nP-04,Q-03\nP-05,Q-05\nP-06,Q-06\nP-07,none\nP-08,Q-08\n")


class Continuity(Scenario):
    def files(self, light=LIGHT):
        return ("--schedule", self.file("s.csv", SCHEDULE), "--readings", self.file("r.csv", READINGS),
                "--continuity", self.file("c.csv", light), "--wavelengths", "1310")

    # common practice: a good loss does not outvote light that comes out of another strand.
    def test_crossed_strands_fail_whatever_their_loss(self):
        result = self.assess(*self.files(), status=1)
        self.assertEqual([t["outcome"] for t in result["tests"]],
                         ["pass", "pass", "fail", "fail", "pass", "pass", "not tested", "pass"])
        self.assertIn("another one", self.verdict_of(result, "03")["reason"])
        self.assertAlmostEqual(self.verdict_of(result, "03")["loss_db"], 0.68)
        self.assertEqual(self.kinds(result), ["light-crossed", "light-lost"])
        crossed = self.finding(result, "light-crossed")
        self.assertEqual(self.strands_of(result, crossed), {"03", "04"})
        self.assertEqual((crossed["evidence"]["straight"], crossed["evidence"]["crossed"], crossed["evidence"]["dark"]), (5, 2, 1))
        self.assertEqual(sorted((p["x"], p["y"]) for p in crossed["picture"]["points"] if p["marked"]), [(3, 4), (4, 3)])
        self.assertIn("invisible", crossed["caution"])
        self.assertEqual(len(result["light_paths"]), 8)

    def test_straight_light_changes_nothing(self):
        light = "from,to\n" + "".join(f"p-{i:02d},  q-{i:02d}\n" for i in range(1, 9))
        result = self.assess(*self.files(light), status=1)
        self.assertEqual(result["summary"]["pass"], 7)
        self.assertEqual(self.kinds(result), ["missing-tests"])

    def test_strands_may_be_named_and_either_end_tried(self):
        result = self.assess(*self.files("from,to\nQ-01,P-01\nK9/02,K9/05\n"), status=1)
        self.assertEqual({s for f in result["findings"] if f["kind"] == "light-crossed" for s in self.strands_of(result, f)}, {"02"})
        self.assertEqual(self.verdict_of(result, "01")["outcome"], "pass")

    def test_put_right_later(self):
        light = "from,to,time\nP-03,Q-04,2026-04-01 08:00\nP-04,Q-03,2026-04-01 08:01\nP-03,Q-03,2026-04-02 09:00\nP-04,Q-04,2026-04-02 09:01\n"
        rows = light.splitlines()
        for order in (rows, [rows[0]] + rows[:0:-1]):
            self.assertEqual(self.assess(*self.files("\n".join(order) + "\n"), status=1)["summary"]["fail"], 0)

    def test_a_port_that_is_not_in_the_schedule_is_listed(self):
        result = self.assess(*self.files("from,to\nP-01,Q-01\nP-02,Q-99\nP-98,Q-03\n"), status=1)
        self.assertEqual([(row["row"], row["found"]) for row in result["unread_rows"]], [(3, "P-02 → Q-99"), (4, "P-98 → Q-03")])
        self.assertEqual(result["summary"]["fail"], 0)

    def test_a_blank_cell_is_not_darkness(self):
        result = self.assess(*self.files("from,to\nP-01,\n,Q-02\n"), status=1)
        self.assertEqual([row["row"] for row in result["unread_rows"]], [2, 3])
        self.assertIn("blank", result["unread_rows"][0]["advice"])

    def test_not_a_table_of_ports(self):
        wrong = self.refused("assess", *self.files("strand,loss_dB\n01,0.4\n"))
        self.assertIn("port", wrong)


class Calibrations(Scenario):
    SCHEDULE = "strand,limit_db\nT1,1.4\nT2,1.4\nT3,1.4\nT4,1.4\n"

    def day(self, rows, certificates, status=0):
        return self.assess("--schedule", self.file("s.csv", self.SCHEDULE),
                           "--readings", self.file("r.csv", "strand,tested_on,meter,source,loss_dB,wavelength_nm\n" + "".join(f"{r},1310\n" for r in rows)),
                           "--calibrations", self.file("i.csv", certificates), status=status)

    CERTIFICATES = "serial,kind,calibrated_on,valid_days\nM-5,power meter,2025-06-10,365\nS-5,light source,2025-09-01,365\n"

    # common practice: a certificate of a year from 10 June 2025 covers 10 June 2026 and not the 11th.
    def test_the_day_after_the_certificate_is_outside_it(self):
        result = self.day(["T1,2026-06-10,M-5,S-5,0.71", "T2,2026-06-11,M-5,S-5,0.74", "T3,2026-06-11,m-5 ,S-5,0.69",
                           "T4,2025-06-09,M-5,S-5,0.70"], self.CERTIFICATES)
        self.assertEqual(result["summary"]["pass"], 4)  # the loss itself is not in doubt
        expired = [f for f in result["findings"] if f["kind"] == "calibration-expired" and "S-5" not in f["summary"]]
        self.assertEqual(set().union(*(self.strands_of(result, f) for f in expired)), {"T2", "T3", "T4"})
        self.assertEqual(expired[0]["evidence"]["valid_through"], "2026-06-10")
        self.assertIsNone(expired[0]["chance"])
        self.assertEqual(result["calibrations"][0]["valid_through"], "2026-06-10")

    def test_a_meter_without_certificate_is_not_traceable(self):
        result = self.day(["T1,2026-05-02,M-5,S-5,0.71", "T2,2026-05-02,M-6,S-5,0.74", "T3,2026-05-02,M-5,,0.7", "T4,2026-05-02,M-5,,0.7"],
                          self.CERTIFICATES)
        self.assertEqual(self.kinds(result), ["calibration-missing"])
        self.assertEqual(self.strands_of(result, result["findings"][0]), {"T2"})

    def test_a_second_certificate_goes_on_where_the_first_ends(self):
        result = self.day(["T1,2026-06-10,M-5,S-5,0.71", "T2,2026-06-12,M-5,S-5,0.74", "T3,2026-06-12,M-5,S-5,0.7", "T4,2026-06-12,M-5,S-5,0.7"],
                          self.CERTIFICATES + "M-5,power meter,2026-06-11,365\n")
        self.assertEqual(self.kinds(result), [])

    def test_a_certificate_that_ends_before_the_work_does(self):
        result = self.day(["T1,2026-06-01,M-5,S-5,0.71", "T2,2026-06-01,M-5,S-5,0.74"], self.CERTIFICATES, status=1)
        self.assertIn("calibration-ends", self.kinds(result, "note"))
        early = self.day(["T1,2026-05-01,M-5,S-5,0.71", "T2,2026-05-01,M-5,S-5,0.74"], self.CERTIFICATES, status=1)
        self.assertNotIn("calibration-ends", self.kinds(early))

    def test_no_date_no_proof(self):
        result = self.day(["T1,,M-5,,0.71", "T2,,M-5,,0.74", "T3,,M-5,,0.73", "T4,,M-5,,0.72"], self.CERTIFICATES)
        self.assertEqual(self.kinds(result), ["calibration-undated"])

    def test_the_instruments_of_the_reference_count_where_a_reading_names_none(self):
        result = self.assess(
            "--schedule", self.file("s.csv", self.SCHEDULE),
            "--references", self.file("f.csv", "reference,wavelength_nm,power_dbm,method,time,meter,source,kind\nR1,1310,-7,one-cord,2026-07-01 08:00,M-5,S-5,opening\nR1,1310,-7,one-cord,2026-07-01 12:00,M-5,S-5,closing check\n"),
            "--readings", self.file("r.csv", "strand,wavelength_nm,power_dbm,reference,time\n" + "".join(f"T{i},1310,-7.{60 + i},R1,2026-07-01 09:0{i}\n" for i in range(1, 5))),
            "--calibrations", self.file("i.csv", self.CERTIFICATES))
        self.assertEqual(self.kinds(result), ["calibration-expired"])
        self.assertEqual(len(result["findings"][0]["tests"]), 4)

    def test_dates_of_certificates_follow_the_same_proof(self):
        day_first = "device;kalibriert am;gültig bis\nM-5;13/06/2025;05/06/2026\nS-5;01/09/2025;31/08/2026\n"
        result = self.day(["T1,2026-06-05,M-5,S-5,0.71", "T2,2026-06-05,M-5,S-5,0.74", "T3,2026-06-05,M-5,S-5,0.7", "T4,2026-06-05,M-5,S-5,0.7"], day_first)
        self.assertEqual(self.kinds(result), [])
        self.assertEqual(result["calibrations"][0]["valid_through"], "2026-06-05")
        self.assertTrue(any("day" in note["text"] for note in result["import_notes"] if note["file"].endswith("i.csv")))

    def test_what_cannot_be_used_is_listed(self):
        result = self.day([f"T{i},2026-05-02,M-5,S-5,0.7{i}" for i in range(1, 5)],
                          "serial,calibrated_on,valid_days,valid_through\nM-5,2025-06-10,365,\nS-5,soon,365,\n,2025-06-10,365,\n"
                          "X-1,2025-06-10,,\nX-2,2025-06-10,,2025-01-01\nS-5,2025-09-01,365,\n", status=1)
        self.assertEqual([(row["row"], row["column"]) for row in result["unread_rows"]],
                         [(3, "calibrated_on"), (4, None), (5, None), (6, None)])
        self.assertEqual(self.kinds(result), [])
        wrong = self.refused("assess", "--schedule", self.file("s.csv", self.SCHEDULE), "--calibrations", self.file("i.csv", "serial,kind\nM-5,meter\n"))
        self.assertIn("calibration", wrong)


class InABook(Scenario):
    def test_a_book_holds_them(self):
        os.environ["STRANDBOOK_DEVICE"] = str(self.folder / "device")
        book = self.folder / "records.book"
        self.run_program("book", "create", book, "--name", "Records")
        files = ("--schedule", self.file("s.csv", SCHEDULE), "--readings", self.file("r.csv", READINGS),
                 "--continuity", self.file("c.csv", LIGHT), "--calibrations",
                 self.file("i.csv", "serial,kind,calibrated_on,valid_days\nM-5,power meter,2025-06-10,365\n"))
        added = self.run_program("book", "add", book, *files)
        self.assertEqual(added.returncode, 0, added.stderr)
        self.assertIn("8 light paths", added.stdout)
        self.assertIn("1 calibrations", added.stdout)
        self.assertIn("already in the book", self.run_program("book", "add", book, *files[4:6]).stdout)
        held = self.assess("--book", book, "--wavelengths", "1310", status=1)
        loose = self.assess(*files, "--wavelengths", "1310", status=1)
        self.assertEqual(json.dumps(held["tests"]), json.dumps(loose["tests"]))
        for kind in ("calibrations", "light_paths"):
            self.assertEqual(held[kind], [{**row, "file": os.path.basename(row["file"])} for row in loose[kind]])
        self.assertEqual([f["kind"] for f in held["findings"]], ["light-crossed", "light-lost"])
        self.assertEqual(self.run_program("book", "verify", book).returncode, 0)
        report = self.run_program("report", "--book", book, "--out", self.folder / "out", "--wavelengths", "1310")
        self.assertEqual(report.returncode, 1, report.stderr)  # two strands fail
        pdf = next((self.folder / "out").glob("*.pdf"))
        text = subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True, check=True).stdout
        for words in ("Where light came out", "power meter", "2026-06-10", "another one"):
            self.assertIn(words, text)
