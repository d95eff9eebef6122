"""What real crews trip over: small jobs in the forms that arrive, each with the right answer."""

import json

from support import Scenario

HALL_RULE = {
    "id": "own:hall", "title": "Hall specification", "document": "Hall specification", "edition": "A",
    "attenuation": [
        {"fibre": ["OM3", "OM4"], "wavelength_nm": [850], "limit": {"value": 3.0, "unit": "dB/km", "clause": "", "standing": "own"}},
        {"fibre": ["OM3", "OM4"], "wavelength_nm": [1300], "limit": {"value": 1.5, "unit": "dB/km", "clause": "", "standing": "own"}},
        {"fibre": ["OS2"], "wavelength_nm": [1310, 1550], "limit": {"value": 0.4, "unit": "dB/km", "clause": "", "standing": "own"}}],
    "connections": [
        {"mode": ["multimode", "single-mode"], "place": place, "limit": {"value": 0.75, "unit": "dB", "clause": "", "standing": "own"}}
        for place in ("embedded", "end")],
    "splices": [{"mode": ["multimode", "single-mode"], "limit": {"value": 0.3, "unit": "dB", "clause": "", "standing": "own"}}],
    "reference_method_when_unstated": "one-cord",
}


class Job(Scenario):
    def rule(self, **changes):
        return ("--rule", "own:hall", "--rule-file", self.file("hall.json", json.dumps({**HALL_RULE, **changes})))


class References(Job):
    # common practice: no passive link gives more light than went in.
    def test_stale_reference_voids_the_batch(self):
        readings = self.file("day.csv", "strand,fibre,length_m,connections,splices,power_850_dBm,power_1300_dBm\n"
                             "Q-1,OM4,90,2,0,-19.90,-20.60\nQ-2,OM4,90,2,0,-19.85,-20.58\nQ-3,OM4,90,2,0,-20.02,-20.65\n")
        reference = self.file("ref.csv", "time,wavelength_nm,method,power_dBm\n06:40,850,one-cord,-20.15\n06:41,1300,one-cord,-20.80\n")
        result = self.assess("--schedule", readings, "--readings", readings, "--references", reference, *self.rule(),
                             "--wavelengths", "850,1300", status=1)
        self.assertEqual(result["summary"]["invalid"], 6)
        self.assertEqual(result["summary"]["pass"], 0)
        self.assertAlmostEqual(self.verdict_of(result, "Q-1", 850)["loss_db"], -0.25)
        self.assertAlmostEqual(self.verdict_of(result, "Q-1", 850)["limit_db"], 1.77)
        self.assertIn("reference-disproved", {f["kind"] for f in result["findings"]})

    def test_drift_through_the_shift_leaves_nothing_proven(self):
        day = self.file("shift.csv", "time,kind,strand,wavelength_nm,power_dBm\n07:30,reference,,1310,-8.05\n"
                        "08:00,reading,B1,1310,-9.20\n10:30,reading,B2,1310,-9.62\n11:50,reference-check,,1310,-8.33\n")
        schedule = self.file("s.csv", "strand,limit_db\nB1,1.50\nB2,1.50\n")
        result = self.assess("--schedule", schedule, "--readings", day, "--wavelengths", "1310", status=1)
        self.assertEqual(result["summary"]["invalid"], 2)
        drift = next(f for f in result["findings"] if f["kind"] == "reference-drift")
        self.assertAlmostEqual(drift["evidence"]["change_db"], -0.28)
        self.assertAlmostEqual(drift["evidence"]["least_loss_db"], 0.87)
        self.assertAlmostEqual(drift["evidence"]["greatest_loss_db"], 1.57)

    def test_a_reference_after_the_reading_is_none(self):
        schedule = self.file("s.csv", "strand,limit_db\nB1,1.50\n")
        reference = self.file("f.csv", "wavelength_nm,power_dbm,method,time\n1310,-8,one-cord,2026-03-02T09:00\n")
        readings = self.file("r.csv", "strand,wavelength_nm,power_dbm,time\nB1,1310,-9,2026-03-02T08:00\n")
        result = self.assess("--schedule", schedule, "--readings", readings, "--references", reference, status=1)
        self.assertEqual(result["tests"][0]["outcome"], "invalid")
        self.assertIn("after the reading", result["tests"][0]["reason"])

    def test_levels_read_at_another_meter_setting_do_not_subtract(self):
        reference = self.file("f.csv", "source_nm,meter_setting_nm,power_dBm\n1310,1310,-7.50\n1550,1310,-8.10\n")
        readings = self.file("r.csv", "strand,source_nm,meter_setting_nm,power_dBm\nL1,1310,1310,-8.40\nL1,1550,1550,-8.95\n")
        schedule = self.file("s.csv", "strand,limit_db\nL1,1.50\n")
        result = self.assess("--schedule", schedule, "--readings", readings, "--references", reference, status=1)
        self.assertAlmostEqual(self.verdict_of(result, "L1", 1310)["loss_db"], 0.90)
        self.assertEqual(self.verdict_of(result, "L1", 1310)["outcome"], "pass")
        at_1550 = self.verdict_of(result, "L1", 1550)
        self.assertEqual((at_1550["outcome"], at_1550["loss_db"]), ("invalid", None))
        self.assertIn("setting", at_1550["reason"])


class Verdicts(Job):
    def test_one_strand_over_at_the_long_wavelength(self):
        rows = "".join(f"Z-{i:02d},OM3,400,2,0,{1.4 + i / 100:.2f},{0.6 + i / 100:.2f}\n" for i in range(1, 7))
        day = self.file("d.csv", "strand,fibre,length_m,connections,splices,loss_850_dB,loss_1300_dB\n" + rows + "Z-07,OM3,400,2,0,1.44,2.31\n")
        result = self.assess("--schedule", day, "--readings", day, *self.rule(), "--wavelengths", "850,1300", status=1)
        self.assertEqual(self.verdict_of(result, "Z-07", 1300)["outcome"], "fail")
        self.assertAlmostEqual(self.verdict_of(result, "Z-07", 1300)["limit_db"], 2.10)
        self.assertEqual(result["summary"]["pass"], 13)

    # SOURCE: ILAC-G8:09/2019 four-state rule; limit 1.50, U = 0.15.
    def test_near_the_limit(self):
        schedule = self.file("s.csv", "strand\n" + "".join(f"P{i}\n" for i in range(1, 6)))
        readings = self.file("r.csv", "strand,loss_dB,uncertainty_db\nP1,1.20,0.075\nP2,1.42,0.075\nP3,1.50,0.075\nP4,1.58,0.075\nP5,1.80,0.075\n")
        expanded = self.file("e.csv", readings.read_text().replace("uncertainty_db", "U (k=2) dB").replace("0.075", "0.15"))
        for rows in (readings, expanded):
            guarded = self.assess("--schedule", schedule, "--readings", rows, "--limit", "1.5", "--guard", "U", status=1)
            self.assertEqual([t["outcome"] for t in guarded["tests"]],
                             ["pass", "conditional pass", "conditional pass", "conditional fail", "fail"])
        plain = self.assess("--schedule", schedule, "--readings", readings, "--limit", "1.5", status=1)
        self.assertEqual([t["outcome"] for t in plain["tests"]], ["pass"] * 3 + ["fail"] * 2)

    def test_dark_strand_is_missing_not_zero(self):
        schedule = self.file("s.csv", "cable,strand,near_port,far_port\nC7,1,A1,B1\nC7,2,A2,B2\nC7,3,A3,B3\n")
        readings = self.file("r.csv", "strand,wavelength_nm,loss_dB\n1,1310,0.7\n2,1310,no light\n")
        result = self.assess("--schedule", schedule, "--readings", readings, "--limit", "1.5", "--wavelengths", "1310", status=1)
        self.assertEqual([t["outcome"] for t in result["tests"]], ["pass", "not tested", "not tested"])
        self.assertIn("No light", result["tests"][1]["reason"])

    def test_splices_of_pigtails_count(self):
        schedule = self.file("s.csv", "link,length_m,fibre,wavelength_nm,mated_pairs,splices\nH5,600,OS2,1550,2,2\nH6,600,OS2,1550,3,2\n")
        readings = self.file("r.csv", "link,loss_dB,wavelength_nm\nH5,2.20,1550\nH6,2.20,1550\n")
        result = self.assess("--schedule", schedule, "--readings", readings, *self.rule(), status=0)
        self.assertAlmostEqual(self.verdict_of(result, "H5")["limit_db"], 2.34)
        self.assertAlmostEqual(self.verdict_of(result, "H6")["limit_db"], 3.09)
        self.assertIn(("splices", 2), [(t["term"], t["count"]) for t in self.verdict_of(result, "H5")["working"]])

    def test_same_loss_other_configuration_other_outcome(self):
        schedule = self.file("s.csv", "link,fibre,length_m,connections,splices,configuration\nD1,OM4,90,4,0,channel\nD2,OM4,90,2,0,link\n")
        readings = self.file("r.csv", "link,wavelength_nm,loss_db\nD1,850,2.2\nD2,850,2.2\n")
        result = self.assess("--schedule", schedule, "--readings", readings, *self.rule(), "--wavelengths", "850", status=1)
        self.assertEqual([t["outcome"] for t in result["tests"]], ["pass", "fail"])

    def test_what_the_contract_requires_against_what_is_there(self):
        schedule = self.file("s.csv", "strand,fibre\n" + "".join(f"T-{i:02d},OS2\n" for i in range(1, 13)))
        rows = [f"T-{i:02d},{nm},{way},0.6\n" for i in range(1, 14) if i != 7 for nm in (1310, 1550) for way in ("AB", "BA")]
        rows.remove("T-09,1550,BA,0.6\n")
        readings = self.file("r.csv", "strand,wavelength_nm,direction,loss_db\n" + "".join(rows))
        result = self.assess("--schedule", schedule, "--readings", readings, "--limit", "1.5", "--wavelengths", "1310,1550",
                             "--directions", "both", status=1)
        self.assertEqual(result["summary"], {"planned": 48, "pass": 43, "conditional_pass": 0, "conditional_fail": 0,
                                             "fail": 0, "not_tested": 5, "invalid": 0})
        self.assertEqual(len(result["unmatched_readings"]), 4)

    def test_1310_on_multimode_is_not_1300_unless_a_rule_says_so(self):
        schedule = self.file("s.csv", "strand,fibre,length_m,connections,splices\nb1,OM4,50,2,0\n")
        readings = self.file("r.csv", "strand,wavelength_nm,direction,loss_dB\nb1,850,AB,0.7\nb1,1310,AB,0.5\n")
        arguments = ("--schedule", schedule, "--readings", readings, "--wavelengths", "850,1300")
        result = self.assess(*arguments, *self.rule(), status=1)
        self.assertEqual(self.verdict_of(result, "b1", 1300)["outcome"], "not tested")
        alias = [{"mode": "multimode", "found_nm": 1310, "counts_as": {"value": 1300, "unit": "nm", "clause": "", "standing": "own"}}]
        result = self.assess(*arguments, *self.rule(aliases=alias), status=0)
        self.assertEqual(self.verdict_of(result, "b1", 1300)["outcome"], "pass")

    def test_unknown_method_never_passes(self):
        schedule = self.file("s.csv", "strand,fibre,length_m,connections,splices\nb1,OM4,50,2,0\n")
        readings = self.file("r.csv", "strand,wavelength_nm,loss_dB\nb1,850,0.1\n")
        result = self.assess("--schedule", schedule, "--readings", readings, "--rule", "iso-14763-3-2024", status=1)
        self.assertEqual(self.verdict_of(result, "b1", 850)["outcome"], "invalid")

    def test_large_job(self):
        with open(self.folder / "s.csv", "w", encoding="utf-8") as s, open(self.folder / "r.csv", "w", encoding="utf-8") as r:
            s.write("link,strand,limit_db\n")
            r.write("link,strand,wavelength_nm,direction,loss_db\n")
            for cable in range(60):
                for strand in range(1, 49):
                    s.write(f"K{cable:02d},{strand:02d},1.80\n")
                    for nm in (850, 1300):
                        loss = 2.5 if strand == 48 else 0.5 + 0.001 * strand + (0.1 if nm == 850 else 0)
                        for way in ("AB", "BA"):
                            r.write(f"K{cable:02d},{strand:02d},{nm},{way},{loss:.3f}\n")
        result = self.assess("--schedule", self.folder / "s.csv", "--readings", self.folder / "r.csv", "--directions", "both", status=1)
        self.assertEqual(result["summary"]["planned"], 11520)
        self.assertEqual(result["summary"]["fail"], 240)


class Names(Job):
    def test_misspelt_names_are_proposed_not_applied(self):
        schedule = self.file("s.csv", "id\nWX-01-07\nWX-01-08\nWX-01-10\nWX-01-01\n")
        readings = self.file("r.csv", 'id,wavelength_nm,loss_dB\nWX-1-7,850,0.61\n"wx-01-08 ",850,0.58\nWX-01-1O,850,0.66\n'
                             "WX-01-I,850,0.63\nWX 01 07,850,0.60\n")
        arguments = ("--schedule", schedule, "--readings", readings, "--limit", "1.5", "--wavelengths", "850")
        result = self.assess(*arguments, status=1)
        self.assertEqual(result["summary"]["pass"], 1)
        proposals = {u["strand"]: u["proposal"] for u in result["unmatched_readings"]}
        self.assertEqual(proposals, {"WX-1-7": "WX-01-07", "WX-01-1O": "WX-01-10", "WX-01-I": "WX-01-01", "WX 01 07": "WX-01-07"})
        confirmed = self.assess(*arguments, "--confirm", "padding,letters,separators", status=0)
        self.assertEqual(confirmed["summary"]["pass"], 4)
        self.assertEqual(self.verdict_of(confirmed, "WX-01-07")["other_readings"], 1)

    def test_names_damaged_by_a_spreadsheet(self):
        schedule = self.file("s.csv", "strand\n004\n005\n020\n2E10\n2E11\n")
        readings = self.file("r.csv", "strand,loss_dB\n4,0.51\n5,0.52\n20,0.53\n2.00E+10,0.54\n2.00E+11,0.55\n")
        arguments = ("--schedule", schedule, "--readings", readings, "--limit", "1.5")
        result = self.assess(*arguments, status=1)
        self.assertEqual(result["summary"]["pass"], 0)
        self.assertEqual(len(result["unmatched_readings"]), 5)
        result = self.assess(*arguments, "--confirm", "padding,exponent", status=0)
        self.assertEqual({t["strand"] for t in result["tests"] if t["outcome"] == "pass"}, {"004", "005", "020", "2E10", "2E11"})


class Forms(Job):
    def test_semicolon_decimal_comma_byte_order_mark(self):
        text = "\ufeffStrang;Länge m;Dämpfung 850 nm;Dämpfung 1300 nm\r\nG-01;1.120,5;3,42;1,61\r\nG-02;640,0;2,20;1,05\r\n"
        day = self.file("tag.csv", text)
        result = self.assess("--schedule", day, "--readings", day, "--limit", "5", "--wavelengths", "850,1300", status=0)
        self.assertEqual(self.verdict_of(result, "G-01", 850)["loss_db"], 3.42)
        self.assertEqual(self.verdict_of(result, "G-02", 1300)["loss_db"], 1.05)

    def test_utf_16(self):
        text = "strand\twavelength_nm\tloss_db\r\nÅ-01\t1310\t0.42\r\n"
        for encoding in ("utf-16", "utf-16-be"):
            data = text.encode(encoding) if encoding == "utf-16" else b"\xfe\xff" + text.encode(encoding)
            day = self.file("day.txt", data)
            result = self.assess("--schedule", day, "--readings", day, "--limit", "1", status=0)
            self.assertEqual(self.verdict_of(result, "Å-01", 1310)["loss_db"], 0.42)

    def test_all_losses_negative_is_asked_not_turned(self):
        day = self.file("a.csv", "strand,Attenuation (dB)\nK1,-0.42\nK2,-0.55\nK3,-0.47\n")
        result = self.assess("--schedule", day, "--readings", day, "--limit", "1.5", status=1)
        self.assertEqual(result["summary"]["invalid"], 3)
        self.assertIn("loss-sign", {f["kind"] for f in result["findings"]})
        result = self.assess("--schedule", day, "--readings", day, "--limit", "1.5", "--loss-sign", "change-of-level", status=0)
        self.assertEqual([t["loss_db"] for t in result["tests"]], [0.42, 0.55, 0.47])

    def test_one_negative_among_others_is_a_gain(self):
        day = self.file("b.csv", "strand,Loss (dB)\nK1,0.42\nK2,-0.55\nK3,0.47\n")
        for extra in ((), ("--loss-sign", "change-of-level")):
            result = self.assess("--schedule", day, "--readings", day, "--limit", "1.5", *extra, status=1)
            self.assertEqual([t["outcome"] for t in result["tests"]], ["pass", "invalid", "pass"])
            self.assertEqual(self.verdict_of(result, "K2")["loss_db"], -0.55)

    def test_title_two_heading_rows_and_a_total(self):
        day = self.file("d.csv", "Cable CB-9,,,,,\nStrand,850 nm,,1300 nm,,Length\n,A-B (dB),B-A (dB),A-B (dB),B-A (dB),(ft)\n"
                        "1,0.88,0.91,0.57,0.58,328\n2,0.97,0.93,0.62,0.61,328\n,,,,,\nTotal strands: 2,,,,,\n")
        result = self.assess("--schedule", day, "--readings", day, "--limit", "1.5", "--wavelengths", "850,1300",
                             "--directions", "both", status=1)
        self.assertEqual(result["summary"]["planned"], 8)
        self.assertEqual(result["summary"]["pass"], 8)
        self.assertEqual(self.verdict_of(result, "2", 1300, "BA")["loss_db"], 0.61)
        self.assertEqual([row["row"] for row in result["unread_rows"]], [7, 7])  # once as schedule, once as readings

    def test_three_crews_three_habits(self):
        schedule = self.file("s.csv", "strand,end_A,end_B\nE11,TR5,TR6\nE12,TR5,TR6\nE13,TR5,TR6\nE14,TR5,TR6\n")
        a = self.file("a.csv", "Strand,Date,Wave,Dir,Loss,Length\nE11,05/06/2026,850,A>B,0.71,328 ft\nE12,15/06/2026,850,A>B,0.73,328 ft\n")
        b = self.file("b.csv", "strand;datum;nm;richtung;dB;m\nE13;06.06.2026;850;BA;0,69;100\n")
        c = self.file("c.csv", "id,test_time,lambda_um,from,to,il,len_km\nE14,2026-06-07T08:12:00-05:00,0.85,TR6,TR5,0.70,0.100\n")
        result = self.assess("--schedule", schedule, "--readings", a, "--readings", b, "--readings", c, "--limit", "1.5",
                             "--wavelengths", "850", "--directions", "both", status=1)
        read = {(t["strand"], t["direction"]): t for t in result["tests"] if t["outcome"] == "pass"}
        self.assertEqual(set(read), {("E11", "AB"), ("E12", "AB"), ("E13", "BA"), ("E14", "BA")})
        self.assertEqual(result["summary"]["not_tested"], 4)
        self.assertTrue(read["E11", "AB"]["time"].startswith("2026-06-05"))
        self.assertEqual(read["E14", "BA"]["time"], "2026-06-07T13:12:00Z")
        self.assertEqual(read["E13", "BA"]["loss_db"], 0.69)

    def test_levels_with_their_power_beside_them(self):
        schedule = self.file("s.csv", "port,limit_db\nU-1,30\nU-2,30\nU-3,30\nU-4,30\n")
        reference = self.file("f.csv", "wavelength_nm,power_dbm,method\n1490,0,one-cord\n")
        readings = self.file("r.csv", "port,rx\nU-1,0.00 mW (-23.40 dBm)\nU-2,0.61 mW / -2.15 dBm\nU-3,0.0001 mW / -40.00 dBm\nU-4,21.9dBm\n")
        result = self.assess("--schedule", schedule, "--readings", readings, "--references", reference,
                             "--columns", "wavelength_nm:=1490", status=1)
        self.assertEqual(self.verdict_of(result, "U-1")["loss_db"], 23.40)
        self.assertEqual(self.verdict_of(result, "U-2")["loss_db"], 2.15)
        self.assertEqual(self.verdict_of(result, "U-3")["outcome"], "not tested")
        self.assertIn("No light", self.verdict_of(result, "U-3")["reason"])
        self.assertEqual([row["found"].count("21.9") for row in result["unread_rows"]], [1])

    def test_columns_map_what_the_headings_do_not_tell(self):
        schedule = self.file("s.csv", "strand,limit_db\nA1,1.5\n")
        readings = self.file("r.csv", "what,howmuch\nA1,0.4\n")
        result = self.assess("--schedule", schedule, "--readings", readings, "--columns",
                             "readings.strand=what; readings.loss_db=howmuch; readings.wavelength_nm:=1310", status=0)
        self.assertEqual(result["tests"][0]["wavelength_nm"], 1310)
        self.refused("assess", "--schedule", schedule, "--readings", readings)
