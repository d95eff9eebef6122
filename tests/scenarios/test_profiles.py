"""Owners' profiles: what one settles of a job, what goes before it, and what is wrong with one of a job's own."""

import json
import os

from support import Scenario, root

SCHEDULE = ("link,strand,fibre,length_m,connections,splices,reference_method\n"
            "A,01,OM4,100,2,0,one-cord\nS,01,OS2,2000,4,0,one-cord\n")
READINGS = ("link,strand,wavelength_nm,direction,loss_db\n"
            "A,01,850,AB,1.45\nA,01,1300,AB,1.31\nS,01,1310,AB,3.40\nS,01,1550,AB,3.19\n")

# One row a line, so that a test can say which line a refusal must name.
OWN = """{
  "id": "own-owner:yard", "title": "Yard", "kind": "yard", "document": "Yard terms",
  "own_rule": {
    "id": "own:yard", "title": "Yard", "document": "Yard terms", "edition": "",
    "whole_link_limits": [{"limit": {"value": 2.0, "unit": "dB", "clause": "2", "standing": "own"}}]},
  "demands": [
    {"mode": "single-mode", "directions": "both", "wavelengths": {"value": [1310], "unit": "nm", "clause": "3", "standing": "own"}}],
  "decision": {"guard": "U", "conditional_pass": "refused", "conditional_fail": "refused", "clause": "4", "standing": "own"}
}
"""


class Profiles(Scenario):
    def setUp(self):
        super().setUp()
        os.environ["STRANDBOOK_DEVICE"] = str(self.folder / "device")
        self.files = ("--schedule", self.file("s.csv", SCHEDULE), "--readings", self.file("r.csv", READINGS))

    # SOURCE: numbers of a tender of this kind, read in extracts: 0.6 dB a mated pair, 3.0 and 1.0 dB/km multimode,
    # 0.5 and 0.4 dB/km single-mode. By hand: 0.1 x 3.0 + 2 x 0.6 = 1.5; 0.1 x 1.0 + 1.2 = 1.3; 2 x 0.5 + 4 x 0.6 = 3.4;
    # 2 x 0.4 + 2.4 = 3.2 dB.
    def test_limits_by_the_owners_coefficients(self):
        result = self.assess(*self.files, "--profile", "owner:school-technology-upgrade", status=1)
        expected = {("A", 850): (1.5, "pass"), ("A", 1300): (1.3, "fail"), ("S", 1310): (3.4, "pass"),
                    ("S", 1550): (3.2, "pass")}
        found = {(t["link"], t["wavelength_nm"]): (round(t["limit_db"], 9), t["outcome"]) for t in result["tests"]}
        self.assertEqual(found, expected)
        self.assertIn("school technology upgrade tender", result["tests"][0]["working"][0]["source"])
        self.assertIn("judged under the owner's profile owner:school-technology-upgrade",
                      [note["text"] for note in result["import_notes"]])

    def test_each_mode_has_its_own_directions(self):
        # The laboratory has single-mode measured outward and return, multimode outward only.
        result = self.assess(*self.files, "--profile", "university-laboratory", status=1)
        outcomes = {}
        for test in result["tests"]:
            outcomes.setdefault(test["link"], []).append(test["outcome"])
        self.assertEqual(len(outcomes["A"]), 2)
        self.assertEqual(len(outcomes["S"]), 4)
        self.assertEqual(outcomes["S"].count("not tested"), 2)

    def test_what_the_person_states_goes_before_the_profile(self):
        result = self.assess(*self.files, "--profile", "school-technology-upgrade", "--rule", "iso-14763-3-2024",
                             "--wavelengths", "850,1310", status=1)
        self.assertEqual({t["wavelength_nm"] for t in result["tests"]}, {850, 1310})
        self.assertIn("14763", result["tests"][0]["working"][0]["source"])
        limited = self.assess(*self.files, "--profile", "school-technology-upgrade", "--limit", "9", status=0)
        self.assertEqual({t["limit_db"] for t in limited["tests"]}, {9})

    def test_guard_and_decision_of_an_own_profile(self):
        schedule = self.file("yard.csv", "link,strand,fibre,length_m,connections,reference_method\nY,01,OS2,100,2,one-cord\n")
        readings = self.file("read.csv", "link,strand,wavelength_nm,direction,loss_db\nY,01,1310,AB,1.95\nY,01,1310,BA,1.0\n")
        job = ("--schedule", schedule, "--readings", readings, "--profile", self.file("own.json", OWN))
        result = self.assess(*job, status=1)
        self.assertEqual(self.verdict_of(result, "01", 1310, "AB")["outcome"], "conditional pass")
        self.assertEqual(self.verdict_of(result, "01", 1310, "BA")["outcome"], "pass")
        self.assertTrue(any("does not take a conditional pass" in note["text"] for note in result["import_notes"]))
        self.assess(*job, "--guard", "none", status=0)

    def test_a_profile_without_a_rule_asks_for_one(self):
        self.assertIn("no rule", self.refused("assess", *self.files, "--profile", "county"))
        result = self.assess(*self.files, "--profile", "county", "--rule", "iso-14763-3-2024", status=1)
        self.assertEqual(result["summary"]["invalid"] + result["summary"]["not_tested"], 0)

    def test_a_book_keeps_the_profile(self):
        book = self.folder / "job.book"
        for arguments in (("create", book, "--name", "Yard"), ("add", book, *self.files),
                          ("rule", book, "--profile", "university-laboratory", "--person", "R.", "--reason", "contract")):
            done = self.run_program("book", *arguments)
            self.assertEqual(done.returncode, 0, done.stdout + done.stderr)
        kept = self.assess("--book", book, status=1)
        loose = self.assess(*self.files, "--profile", "university-laboratory", status=1)
        self.assertEqual([(t["outcome"], t["limit_db"]) for t in kept["tests"]],
                         [(t["outcome"], t["limit_db"]) for t in loose["tests"]])
        # A profile given now goes before what the book settled.
        other = self.assess("--book", book, "--profile", "school-technology-upgrade", status=1)
        self.assertEqual(len(other["tests"]), 4)


class ProfilesShown(Scenario):
    def test_every_shipped_profile_shows_its_sources(self):
        listed = json.loads(self.run_program("profiles", "--json").stdout)
        self.assertEqual(len(listed), len(list((root / "rules/profiles").glob("*.json"))))
        for each in listed:
            done = self.run_program("profiles", each["id"], "--json")
            self.assertEqual(done.returncode, 0, done.stderr)
            shown = json.loads(done.stdout)
            self.assertTrue(shown["sections"], each["id"])
            for section in shown["sections"]:
                for row in section["rows"]:
                    self.assertTrue(row["source"] and row["standing"], row)

    def test_text_shows_demands(self):
        text = self.run_program("profiles", "joint-build").stdout
        self.assertIn("from attempt 3 on, listed as out of specification", " ".join(text.split()))
        self.assertIn("joint-build exhibit (seen in extract)", text)
        self.assertIn("none named", text)
        self.assertIn("owner:county", self.run_program("profiles").stdout)

    def test_an_unknown_profile_lists_the_known(self):
        self.assertIn("owner:county", self.refused("profiles", "nobody"))
        self.assertIn("owner:county", self.refused("assess", "--profile", "owner:nobody"))

    def test_a_mistake_names_file_and_line(self):
        path = self.file("own.json", OWN.replace('"guard": "U"', '"guard": "some"'))
        words = self.refused("profiles", path)
        self.assertIn("own.json, row 8", words)
        self.assertIn('"none", "U"', words)
        path = self.file("own.json", OWN.replace('"value": 2.0', '"value": "two"'))
        self.assertIn("own.json, row 5", self.refused("assess", "--profile", path))
