"""Which networks a link carries, levels of live equipment, passive trees."""

import csv
import json

import jsonschema

from support import Scenario, root

documents = {name: json.loads((root / "docs" / name).read_text())
             for name in ("applications.schema.json", "arrays.schema.json", "openapi.json")}


def fits(found, form):
    """Checks what a command wrote against its form in docs/applications.schema.json."""
    resolver = jsonschema.RefResolver("applications.schema.json", documents["applications.schema.json"], store=documents)
    jsonschema.Draft202012Validator({"$ref": f"applications.schema.json#/$defs/{form}"}, resolver=resolver).validate(found)
    return found


class Applications(Scenario):
    def carries(self, *arguments):
        done = self.run_program("carries", *arguments, "--json")
        self.assertIn(done.returncode, (0, 1), done.stderr)
        return {(a["application"], a["table"]): a for a in fits(json.loads(done.stdout), "channel")["answers"]}

    def test_every_application_has_its_numbers_with_their_sources(self):
        rows = fits(json.loads(self.run_program("applications", "--json").stdout), "applications")
        self.assertGreaterEqual(len(rows), 168)
        self.assertGreaterEqual(len({row["application"] for row in rows}), 109)
        for row in rows:
            for number in row["numbers"]:
                self.assertTrue(number["source"], row["application"])
                self.assertIn(number["standing"], ("checked", "seen in extract", "common practice", "own", "from memory"))

    def test_the_two_tables_that_differ_both_answer(self):
        # SOURCE: TIA prints 2.3 dB for 10GBASE-S over OM2 (IEEE 1.8 dB and 0.5 dB additional loss allowed).
        answers = self.carries("--fibre", "OM2", "--length", 80, "--loss", "850:2.1", "--application", "10GBASE-SR")
        by_table = {table: answer["carries"] for (name, table), answer in answers.items()}
        self.assertEqual(len(by_table), 2, by_table)
        ieee = next(answer for (name, table), answer in answers.items() if "IEEE" in table)
        tia = next(answer for (name, table), answer in answers.items() if "TIA" in table)
        loss = {each["what"]: each for each in ieee["working"]}["loss"]
        self.assertAlmostEqual(loss["allowed"], 1.8)
        self.assertNotEqual(ieee["carries"], "supported")
        self.assertIn(tia["carries"], ("supported", "supported only with"))

    def test_length_and_loss_are_told_apart(self):
        # SOURCE: TIA fibre consortium page, 25GBASE-SR overview: OM4 100 m, 1.9 dB.
        good = self.carries("--fibre", "OM4", "--length", 100, "--loss", "850:1.9", "--application", "25GBASE-SR")
        self.assertEqual([a["carries"] for a in good.values()], ["supported"])
        long = self.carries("--fibre", "OM4", "--length", 101, "--loss", "850:1.0", "--application", "25GBASE-SR")
        self.assertEqual([[r["code"] for r in a["reasons"]] for a in long.values()], [["length_beyond"]])
        lossy = self.carries("--fibre", "OM4", "--length", 50, "--loss", "850:2.4", "--attenuation", 3.0, "--connections", 4,
                             "--application", "25GBASE-SR")
        answer = next(iter(lossy.values()))
        self.assertEqual(answer["carries"], "not supported")
        self.assertEqual({r["what"] for r in answer["remedies"]}, {"clean one connection", "remove one connection", "shorter cord"})

    def test_a_long_wavelength_alone_proves_nothing_at_the_short_one(self):
        answers = self.carries("--fibre", "OS2", "--length", 1500, "--loss", "1550:0.9", "--application", "100GBASE-FR1")
        for answer in answers.values():
            self.assertEqual(answer["carries"], "cannot say")
            self.assertIn("short_side_unread", [r["code"] for r in answer["reasons"]])

    def test_memory_never_settles_it_alone(self):
        answers = self.carries("--fibre", "OM3", "--length", 60, "--loss", "850:9", "--application", "100GBASE-SR4")
        self.assertEqual({a["carries"] for a in answers.values()}, {"cannot say"})

    def test_links_of_a_job_are_grouped_as_an_application_uses_them(self):
        strands = "".join(f"T1,{n},OM4,90,2,0\n" for n in range(1, 13))
        schedule = self.file("s.csv", "link,strand,fibre,length_m,connections,splices\n" + strands)
        readings = self.file("r.csv", "link,strand,wavelength_nm,loss_db\n" +
                             "".join(f"T1,{n},850,{2.6 if n == 11 else 0.9}\n" for n in range(1, 13)))
        done = self.run_program("carries", "--schedule", schedule, "--readings", readings, "--rule", "tia-568.3-d",
                                "--reference-method", "one-cord", "--wavelengths", 850, "--json", "--link", "T1")
        answers = {(a["application"], a["table"]): a for a in json.loads(done.stdout)["links"][0]["answers"]}
        pair = next(a for (name, _), a in answers.items() if name == "25GBASE-SR")
        self.assertEqual(pair["groups"], [5, 0, 0, 1])
        self.assertEqual(pair["worst_strands"], ["11", "12"])
        array = next(a for (name, _), a in answers.items() if name == "400GBASE-SR4.2")
        self.assertEqual(array["worst_strands"], ["1", "2", "3", "4", "9", "10", "11", "12"])

    def test_an_unknown_name_is_refused_with_what_to_do(self):
        done = self.run_program("carries", "--fibre", "OM3", "--application", "900BASE-Q")
        self.assertEqual(done.returncode, 2)
        self.assertIn("strandbook applications", done.stderr)


class LiveLevels(Scenario):
    def levels(self, text, *arguments, status=None):
        done = self.run_program("power", "--levels", self.file("levels.csv", text), *arguments, "--json")
        self.assertIn(done.returncode, (0, 1), done.stderr)
        if status is not None:
            self.assertEqual(done.returncode, status)
        return fits(json.loads(done.stdout), "levels")

    def test_a_dark_port_an_unused_lane_and_a_low_one(self):
        found = self.levels("port,lane,rx_dBm,tx_dBm,low_alarm_dBm,low_warn_dBm,high_warn_dBm,high_alarm_dBm\n"
                            "E1,1,1.512,1.20,-9.6,-6.6,5.0,6.0\nE1,2,0.0,0.0,-9.6,-6.6,5.0,6.0\n"
                            "E2,1,-40.00,-2.5,-16.4,-14.4,0.5,2.5\nE3,1,-inf,-2.2,-16.4,-14.4,0.5,2.5\n"
                            "E4,1,-15.3,-2.4,-16.4,-14.4,0.5,2.5\n", status=1)
        got = {(l["port"], l["lane"]): l for l in found["levels"] if l["end"] == "receive"}
        self.assertEqual(got[("E1", 1)]["outcome"], "pass")
        self.assertEqual(got[("E1", 2)]["outcome"], "not tested")
        self.assertTrue(got[("E1", 2)]["lane_unused"])
        for dark in ("E2", "E3"):
            self.assertTrue(got[(dark, 1)]["no_light"])
            self.assertEqual(got[(dark, 1)]["outcome"], "fail")
        self.assertEqual(got[("E4", 1)]["reason_code"], "low_warning")

    def test_milliwatts_and_a_missing_minus_sign(self):
        found = self.levels("port,rx\nU1,0.00 mW (-24.1 dBm)\nU2,0.58 mW / -2.36 dBm\nU3,21.7dBm\n",
                            "--receive-min", -28, "--receive-max", -8, status=1)
        got = {l["port"]: l for l in found["levels"]}
        self.assertAlmostEqual(got["U1"]["level_dbm"], -24.1)
        self.assertEqual(got["U1"]["outcome"], "pass")
        self.assertEqual(got["U2"]["reason_code"], "high")
        self.assertNotIn("U3", got)
        self.assertEqual(len(found["unread_rows"]), 1)
        self.assertIn("minus", found["unread_rows"][0]["advice"] or found["unread_rows"][0]["expected"])

    def test_the_reserve_and_too_much_light(self):
        found = self.levels("step,path_loss_dB\nbaseline,12.00\nafter works,16.10\n", "--launch-min", 1.0,
                            "--receive-min", -18, "--receive-max", 0, "--reserve", 3, status=1)
        got = {l["port"]: l for l in found["levels"]}
        self.assertEqual(got["baseline"]["outcome"], "pass")
        self.assertAlmostEqual(got["after works"]["after_reserve_db"], -0.1)
        self.assertEqual(got["after works"]["reason_code"], "below_reserve")
        hot = self.levels("link,tx_dBm,loss_dB,rx_max_dBm,rx_min_dBm\nH1,4.0,0.5,-1.0,-15.8\n", status=1)
        receive = next(l for l in hot["levels"] if l["end"] == "receive")
        self.assertAlmostEqual(receive["attenuator_db"], 4.5)

    def test_the_published_module_readings_name_no_unused_lane_a_failure(self):
        # SOURCE: public reports and documentation of transceivers' own readings (tests/data/field).
        path = root / "tests/data/field/module-power.csv"
        with open(path) as lines:
            rows = list(csv.DictReader(lines))
        done = self.run_program("power", "--levels", path, "--json")
        found = json.loads(done.stdout)
        unused = [l for l in found["levels"] if l["lane_unused"]]
        self.assertEqual([l["lane"] for l in unused], [2, 3, 4])
        self.assertEqual({l["outcome"] for l in unused}, {"not tested"})
        self.assertEqual(sum(1 for l in found["levels"] if l["no_light"]), 2, "the unplugged one and the floor")
        received = [l for l in found["levels"] if l["end"] == "receive"]
        self.assertEqual(len(received) + len(found["unread_rows"]), sum(1 for r in rows if r["rx_dBm"] or r["rx_mW"]))

    def test_a_level_that_only_memory_speaks_against_does_not_fail(self):
        done = self.run_program("power", "--application", "100GBASE-DR", "--level", -9, "--json")
        level = json.loads(done.stdout)["levels"][0]
        self.assertEqual((level["outcome"], level["reason_code"]), ("invalid", "memory_against"))

    def test_the_caution_stands_beside_the_levels(self):
        done = self.run_program("power", "--application", "10GBASE-SR", "--level", -5)
        self.assertIn("1M", done.stdout)
        self.assertIn("ocal", done.stdout, "local codes prevail")


class PassiveTrees(Scenario):
    rule = ("--rule", "iso-14763-3-2024")
    head = "port,splitter,ratio,feeder_m,drop_m,connections,splices,fibre,loss_1310_db,loss_1490_db\n"

    def tree(self, text, *arguments, status=None):
        done = self.run_program("tree", "--ports", self.file("ports.csv", text), *self.rule, *arguments, "--json")
        self.assertIn(done.returncode, (0, 1), done.stderr)
        if status is not None:
            self.assertEqual(done.returncode, status, done.stdout)
        return fits(json.loads(done.stdout), "tree")

    def test_a_port_is_held_against_its_splitter_and_its_siblings(self):
        ports = "".join(f"P{n},S1,1:32,3000,{100 + n},2,4,OS2,{loss},{loss - 0.2}\n"
                        for n, loss in enumerate((17.6, 17.5, 17.7, 20.3, 17.6), 1))
        found = self.tree(self.head + ports, "--application", "G-PON class B+", status=1)
        out = {r["port"] for r in found["readings"] if r["stands_out"]}
        self.assertEqual(out, {"P4"})
        for reading in found["readings"]:
            self.assertIn("splitter 1:32", [term["term"] for term in reading["working"]])
        # A bad port hides inside the wide window of its class.
        self.assertNotIn("not supported", {a["carries"] for a in found["answers"] if a["port"] == "P4"})

    def test_too_little_loss_for_the_class(self):
        found = self.tree("port,ratio,length_m,connections,splices,fibre,loss_1310_db,loss_1550_db\nN1,1:2,70,2,0,OS2,4.1,4.0\n",
                          "--application", "10GBASE-PR30")
        self.assertEqual({a["carries"] for a in found["answers"]}, {"supported only with"})
        self.assertTrue(all(a["attenuator_db"] > 10 for a in found["answers"]))

    def test_less_than_the_splitters_take_is_impossible(self):
        found = self.tree(self.head + "N1,S1,1:32,50,20,2,0,OS2,12.1,12.0\n", status=1)
        self.assertTrue(all(r["impossible"] and r["outcome"] == "invalid" for r in found["readings"]))

    def test_two_stages_and_received_levels(self):
        found = self.tree("port,splitter,ratio,fibre,length_m,connections,splices,wavelength_nm,rx_dBm\n"
                          "Q1,S2,1:4+1:8,OS2,5200,2,4,1490,-16.0\n", "--launch", 2.5)
        reading = found["readings"][0]
        self.assertAlmostEqual(reading["loss_db"], 18.5)
        self.assertEqual([t["term"] for t in reading["working"] if "splitter" in t["term"]], ["splitter 1:4", "splitter 1:8"])

    def test_a_ratio_that_is_none_keeps_its_row(self):
        found = self.tree(self.head + "N1,S1,eight,50,20,2,0,OS2,12.1,12.0\n", status=1)
        self.assertEqual(len(found["unread_rows"]), 1)
        self.assertIn("1:32", found["unread_rows"][0]["expected"])
