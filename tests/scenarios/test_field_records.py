"""Records of real work, transcribed from public pages: every row is used or kept with its place."""

import csv

from support import Scenario, root

data = root / "tests/data/field"


class FieldRecords(Scenario):
    def test_the_inventory_of_an_event_network(self):
        # SOURCE: public field inventory of 66 re-used single-mode cables; places and names left out.
        with open(data / "event-network-inventory.csv") as lines:
            cables = list(csv.DictReader(lines))
        self.assertEqual(len(cables), 66)
        result = self.assess("--schedule", data / "event-network-inventory.csv", "--limit", 3, status=1)
        strands = sum(int(cable["strands"]) for cable in cables)
        self.assertEqual(result["summary"], {"planned": strands, "pass": 0, "conditional_pass": 0, "conditional_fail": 0,
                                             "fail": 0, "not_tested": strands, "invalid": 0})
        self.assertEqual(result["unread_rows"], [])
        self.assertEqual({t["link"] for t in result["tests"]}, {cable["label"] for cable in cables})
        for cable in cables:
            self.assertEqual([t["strand"] for t in result["tests"] if t["link"] == cable["label"]],
                             [str(n + 1) for n in range(int(cable["strands"]))])

    def test_levels_that_modules_report(self):
        # SOURCE: public reports and documentation of transceivers' own readings; dBm and mW pairs agree with
        # 10 lg(mW). A lane that reads 0.0 both ways is not in use; -40 dBm is the floor, not a level.
        with open(data / "module-power.csv") as lines:
            rows = list(csv.DictReader(lines))
        schedule = self.file("s.csv", "link,strand\n" + "".join(f"{row['no']},{row['lane'] or 1}\n" for row in rows))
        result = self.assess("--schedule", schedule, "--readings", data / "module-power.csv", "--limit", 3,
                             "--columns", "wavelength_nm:=1310", status=1)
        unread = {row["row"]: row["found"] for row in result["unread_rows"]}
        unmatched = {row["row"]: row for row in result["unmatched_readings"]}
        self.assertEqual(unread, {19: "0.0", 20: "0.0", 21: "0.0", 23: ""})
        used = {t["link"]: t for t in result["tests"] if t["reason"] and "No reading was taken" not in t["reason"]}
        self.assertEqual(len(used) + len(unread) + len(unmatched), len(rows))
        for dark in ("2", "3"):
            self.assertIn("No light", used[dark]["reason"])
