"""Arrays, cords and end faces as crews record them: what is wrong is named, and a good loss excuses nothing."""

import json

import jsonschema

from support import Scenario, root

array_schema = json.loads((root / "docs/arrays.schema.json").read_text())


def straight(n, last=12):
    return n


def reversed_(n, last=12):
    return last + 1 - n


def pairs(n, last=12):
    return n + 1 if n % 2 else n - 1


class Checks(Scenario):
    def answer(self, *arguments, status):
        done = self.run_program(*arguments, "--json")
        self.assertEqual(done.returncode, status, done.stdout + done.stderr)
        result = json.loads(done.stdout)
        jsonschema.validate(result, array_schema)
        plain = self.run_program(*arguments)
        self.assertEqual(plain.returncode, status)
        self.terminal = plain.stdout
        return result

    def trace(self, arrays, name="found.csv", heading="trunk,near,far"):
        """A file of traced positions from {name: {near: far}}."""
        rows = [f"{array},{near},{far}" for array, lanes in arrays.items() for near, far in lanes.items()]
        return self.file(name, "\n".join([heading, *rows]) + "\n")


class Polarity(Checks):
    def of_type(self, rule, last=12, positions=None):
        return {n: rule(n, last) for n in positions or range(1, last + 1)}

    def by_name(self, result):
        return {array["array"]: array for array in result["arrays"]}

    # Maps of 12 positions: TIA-568.3, i → i, i → 13 − i, pairs exchanged.
    def test_loss_passes_and_the_map_does_not(self):
        crossed = self.of_type(reversed_)
        crossed[6], crossed[7] = crossed[7], crossed[6]
        found = self.trace({"H1": self.of_type(straight), "H2": self.of_type(straight), "H3": self.of_type(pairs),
                            "H4": crossed})
        wanted = self.file("w.csv", "trunk,expected_type\nH1,B\nH2,A\nH3,C\nH4,B\n")
        loss = self.file("l.csv", "trunk,worst_loss_dB,limit_dB\nH1,0.30,0.75\nH2,0.41,0.75\nH3,0.27,0.75\nH4,0.38,0.75\n")
        result = self.by_name(self.answer("arrays", "--found", found, "--wanted", wanted, "--loss", loss, status=1))
        self.assertEqual([result[h]["outcome"] for h in ("H1", "H2", "H3", "H4")], ["fail", "pass", "pass", "fail"])
        self.assertTrue(all(array["loss"]["outcome"] == "pass" for array in result.values()))
        self.assertEqual(result["H1"]["map"]["recognised"], "type A")
        self.assertIsNone(result["H4"]["map"]["recognised"])
        self.assertEqual(result["H4"]["map"]["deviations"],
                         [{"near": 6, "far": 6, "wanted": 7}, {"near": 7, "far": 7, "wanted": 6}])
        self.assertIn("near 6 and 7 exchanged", self.terminal)
        self.assertIn("It is type A, wanted was type B.", self.terminal)
        self.assertIn("never look at the end face of a live array", self.terminal)

    def test_one_wanted_type_for_all(self):
        found = self.trace({"K": self.of_type(reversed_)})
        self.answer("arrays", "--found", found, "--type", "B", status=0)
        self.answer("arrays", "--found", found, "--type", "method U2", status=0)
        self.assertIn("is not shown", self.terminal)  # the order of the duplex ports
        self.answer("arrays", "--found", found, "--type", "adapter A + B + adapter A", status=0)
        self.answer("arrays", "--found", found, "--type", "A", status=1)
        self.assertIn("--type", self.run_program("arrays", "--help").stdout)
        self.assertIn("type \"Q\"", self.refused("arrays", "--found", found, "--type", "Q"))

    def test_without_a_wanted_type_nothing_passes(self):
        result = self.answer("arrays", "--found", self.trace({"K": self.of_type(pairs)}), status=1)["arrays"][0]
        self.assertEqual((result["outcome"], result["map"]["recognised"]), ("not tested", "type C"))

    def test_missing_positions_are_not_tested(self):
        lanes = self.of_type(reversed_)
        del lanes[4], lanes[9]
        lanes[12] = "no light"
        result = self.answer("arrays", "--found", self.trace({"K": lanes}), "--type", "B", status=1)["arrays"][0]
        self.assertEqual(result["outcome"], "not tested")
        self.assertEqual((result["map"]["missing"], result["map"]["dark"]), ([4, 9], [12]))
        lanes[1] = 4  # where near 9 belongs
        result = self.answer("arrays", "--found", self.trace({"K": lanes}), "--type", "B", status=1)["arrays"][0]
        self.assertEqual(result["outcome"], "fail")
        self.assertIn("near 1 ends at 4 instead of 12", " ".join(result["map"]["reasons"]))

    def test_two_positions_on_one_are_no_evidence(self):
        lanes = self.of_type(straight)
        lanes[5] = 6
        result = self.answer("arrays", "--found", self.trace({"K": lanes}), "--type", "A", status=1)["arrays"][0]
        self.assertEqual(result["outcome"], "invalid")
        self.assertIn("both traced to far 6", result["map"]["reasons"][0])

    def test_positions_out_of_range(self):
        lanes = self.of_type(straight)
        lanes[12] = 13
        result = self.answer("arrays", "--found", self.trace({"K": lanes}), "--type", "A", status=1)["arrays"][0]
        self.assertEqual(result["outcome"], "invalid")
        found = self.file("f.csv", "trunk,near,far\n" + "".join(f"K,{n},{n}\n" for n in range(1, 12)) + "K,1O,12\n")
        result = self.answer("arrays", "--found", found, "--type", "A", status=1)
        self.assertEqual((result["arrays"][0]["outcome"], result["arrays"][0]["map"]["missing"]), ("not tested", [12]))
        self.assertEqual((result["unread_rows"][0]["row"], result["unread_rows"][0]["found"]), (13, "1O"))

    def test_sixteen_and_twenty_four(self):
        found = self.trace({"S": self.of_type(reversed_, 16), "T": self.of_type(reversed_, 24), "P": self.of_type(pairs, 24)})
        wanted = self.file("w.csv", "array,type,fibres\nS,B,16\nT,B,24\nP,C,\n")
        result = self.by_name(self.answer("arrays", "--found", found, "--wanted", wanted, "--sources", status=0))
        self.assertEqual([result[a]["map"]["fibres"] for a in "STP"], [16, 24, 24])
        self.assertIn("from memory", self.terminal)

    def test_eight_of_twelve_must_be_said(self):
        lanes = self.of_type(reversed_, 12, [1, 2, 3, 4, 9, 10, 11, 12])
        found = self.trace({"K": lanes})
        result = self.answer("arrays", "--found", found, "--type", "B", status=1)["arrays"][0]
        self.assertEqual(result["map"]["missing"], [5, 6, 7, 8])
        self.answer("arrays", "--found", found, "--type", "B", "--fibres", "8", status=0)
        self.refused("arrays", "--found", found, "--type", "B", "--fibres", "10")

    def test_plan_and_trace_that_do_not_match(self):
        found = self.trace({"k 1": self.of_type(straight), "K9": self.of_type(straight)})
        wanted = self.file("w.csv", "trunk,type\nK1,A\nK2,A\n")
        result = self.by_name(self.answer("arrays", "--found", found, "--wanted", wanted, status=1))
        self.assertEqual({name: array["outcome"] for name, array in result.items()},
                         {"K1": "pass", "K2": "not tested", "K9": "not tested"})

    def test_german_headings_decimal_comma_and_a_workbooks_title(self):
        rows = "".join(f"V-7;{n};{13 - n}\n" for n in range(1, 13))
        found = self.file("f.csv", "\ufeffStrecke Nord;;\n\nTrunkkabel;Nahposition;Fernposition\n" + rows)
        wanted = self.file("w.csv", "Trunkkabel;Soll-Typ;Faserzahl\nV-7;B;12\n")
        loss = self.file("l.csv", "Trunkkabel;Faser;D\u00e4mpfung (dB);Grenzwert dB;L\u00e4nge [m]\n"
                         + "".join(f"V-7;{n};0,{30 + n};0,75;{30 + n / 100:.2f}".replace(".", ",") + "\n" for n in range(1, 13)))
        result = self.answer("arrays", "--found", found, "--wanted", wanted, "--loss", loss, "--fibre", "OM4",
                             "--wavelength", "850", "--skew-limit", "1", status=0)["arrays"][0]
        series = result["loss"]["series"][0]
        self.assertEqual((series["worst_db"], series["worst_position"]), (0.42, 12))
        self.assertAlmostEqual(series["slope_db_per_position"], 0.01)
        self.assertAlmostEqual(result["skew"]["skew_ns"], 1.481 * 0.11 / 0.299792458, places=4)

    def test_lanes_over_missing_or_dark(self):
        found = self.trace({"K": self.of_type(straight), "L": self.of_type(straight)})
        rows = [f"{k},{n},{'no light' if (k, n) == ('L', 3) else 0.2 + (k == 'K' and n == 7)},{'850'}"
                for k in "KL" for n in range(1, 13) if (k, n) != ("L", 5)]
        loss = self.file("l.csv", "\n".join(["trunk,position,loss_db,nm", *rows]) + "\n")
        result = self.by_name(self.answer("arrays", "--found", found, "--type", "A", "--loss", loss, "--limit", "0.75", status=1))
        self.assertEqual(result["K"]["loss"]["series"][0]["over_limit"], [7])
        self.assertEqual((result["K"]["outcome"], result["L"]["outcome"]), ("fail", "not tested"))
        self.assertEqual(result["L"]["loss"]["reasons"], ["No light at near 3 at 850 nm.", "No loss of near 5 at 850 nm."])
        without = self.by_name(self.answer("arrays", "--found", found, "--type", "A", "--loss", loss, status=1))
        self.assertEqual(without["K"]["loss"]["outcome"], "not tested")

    def test_refusals_name_the_file_and_the_column(self):
        self.assertIn("\"far\"", self.refused("arrays", "--found", self.file("f.csv", "trunk,near\nK,1\n"), "--type", "A"))
        self.assertIn("near", self.refused("arrays", "--found", self.file("g.csv", "a,b\n1,2\n"), "--type", "A"))
        self.refused("arrays", "--found", self.folder / "none.csv", "--type", "A")
        self.refused("arrays", "--found", self.trace({"K": {1: 1}}), "--limit", "much")


class Cords(Checks):
    def matings(self, losses, extra=""):
        return self.file("m.csv", "cord,loss_db" + (",rl_db" if extra else "") + "\n"
                         + "".join(f"J{i},{loss}{extra}\n" for i, loss in enumerate(losses)))

    # Grade B: IEC 61755-1, mean 0.12 dB, 97 % within 0.25 dB.
    def test_a_set_against_its_grade(self):
        good = [0.05, 0.09] * 50
        self.assertEqual(self.answer("cords", "--matings", self.matings(good), "--grade", "B", status=0)["outcome"], "pass")
        bad = self.answer("cords", "--matings", self.matings(good[:96] + [0.3] * 4), "--grade", "B", "--sources", status=1)
        self.assertEqual((bad["share"]["within"], bad["share"]["may_exceed"], bad["share"]["outcome"]), (96, 3, "fail"))
        self.assertIn("IEC 61755-1", self.terminal)

    def test_a_few_prove_little(self):
        result = self.answer("cords", "--matings", self.matings([0.05, 0.09] * 6), "--grade", "B", status=0)
        self.assertEqual(result["share"]["outcome"], "conditional pass")
        self.assertAlmostEqual(result["share"]["proven_share"], 0.05 ** (1 / 12), places=5)
        self.assertIn("not contradicted, not shown", self.terminal)
        self.assertEqual(self.answer("cords", "--matings", self.matings([0.05, 0.3, 0.07]), "--grade", "B", status=1)["share"]["outcome"], "fail")

    def test_return_loss(self):
        file = self.matings([0.2, 0.3] * 30, ",44")
        self.answer("cords", "--matings", file, "--grade", "Bm", "--return-loss-grade", "2", status=0)
        result = self.answer("cords", "--matings", file, "--grade", "Bm", "--return-loss-grade", "1", status=1)
        self.assertEqual(result["return_loss"]["outcome"], "fail")
        self.assertIn("1, 2 for multimode", self.refused("cords", "--matings", file, "--grade", "Bm", "--return-loss-grade", "4"))
        self.assertIn("Bm", self.refused("cords", "--matings", file, "--grade", "Z"))

    def test_a_gain_and_a_dark_mating(self):
        self.assertEqual(self.answer("cords", "--matings", self.matings([0.1, -0.4]), "--grade", "B", status=1)["outcome"], "invalid")
        result = self.answer("cords", "--matings", self.matings([0.1, "no light"]), "--grade", "B", status=1)
        self.assertEqual((len(result["matings"]), len(result["unread_rows"])), (1, 1))


class EndFaces(Checks):
    def test_the_loss_passes_and_the_end_face_does_not(self):
        seen = self.file("i.csv", "link,face,mark,zone,size_um,limit_um\nR-2,panel end,chip,B,27,10\n")
        loss = self.file("l.csv", "link,loss_dB,limit_dB\nR-2,0.62,0.90\n")
        link = self.answer("endfaces", "--inspections", seen, "--loss", loss, status=1)["links"][0]
        self.assertEqual((link["loss"]["outcome"], link["faces"][0]["outcome"], link["outcome"]), ("pass", "fail", "fail"))
        self.assertIn("27 µm against the site's own 10 µm", link["faces"][0]["reasons"][0])
        self.assertIn("hold the link", self.terminal)
        clean = self.file("i2.csv", "link,face,mark,zone,size_um,limit_um\nR-2,panel end,none,,,\n")
        self.answer("endfaces", "--inspections", clean, "--loss", loss, status=0)

    # IEC 61300-3-35:2015: multimode zone B takes five defects of 5 to 10 µm and none above.
    def test_counts_by_zone_and_kind(self):
        for count, status in ((5, 0), (6, 1)):
            seen = self.file("i.csv", f"link,face,mark,zone,size (µm),count\nM1,a,defect,B,8,{count}\n")
            link = self.answer("endfaces", "--inspections", seen, "--kind", "multimode", "--sources", status=status)["links"][0]
        self.assertIn("Zone B (cladding): 6 defects of 5 to 10 µm, allowed 5.", link["faces"][0]["reasons"])
        self.assertIn("IEC 61300-3-35:2015", self.terminal)
        self.assertEqual(self.answer("endfaces", "--inspections", seen, status=1)["links"][0]["outcome"], "invalid")

    def test_kinds_in_the_rows_and_german_words(self):
        seen = self.file("i.csv", "Strecke;Stecker;Fasertyp;Fehlerart;Zone;Gr\u00f6\u00dfe \u00b5m;Anzahl\n"
                         "N1;links;SM/APC;Kratzer;Kern;2,5;4\nN1;rechts;OM4;Ausbruch;Zone B;10,5;1\nN2;links;OS2;sauber;;;\n")
        links = {l["link"]: l for l in self.answer("endfaces", "--inspections", seen, status=1)["links"]}
        self.assertEqual([f["outcome"] for f in links["N1"]["faces"]], ["pass", "fail"])
        self.assertEqual([f["kind"] for f in links["N1"]["faces"]], ["single-mode-apc", "multimode"])
        self.assertEqual(links["N2"]["outcome"], "pass")

    def test_what_cannot_be_read_does_not_pass(self):
        seen = self.file("i.csv", "link,mark,zone,size_um\nE1,scratch,B,2O\nE2,blob,B,2\nE3,scratch,F,2\nE4,scratch,B,\nE5,not inspected,,\nE6,none,,\n")
        result = self.answer("endfaces", "--inspections", seen, "--kind", "multimode", status=1)
        self.assertEqual([l["outcome"] for l in result["links"]],
                         ["invalid", "invalid", "invalid", "not tested", "pass", "invalid"])
        self.assertEqual(len(result["unread_rows"]), 4)

    def test_the_sites_own_limit_for_a_zone(self):
        seen = self.file("i.csv", "link,mark,zone,size_um\nE1,defect,C,12\n")
        self.answer("endfaces", "--inspections", seen, "--kind", "multimode", status=0)
        self.answer("endfaces", "--inspections", seen, "--kind", "multimode", "--own-limit", "C=10", status=1)
        for wrong in ("C", "E=3", "B=wide"):
            self.refused("endfaces", "--inspections", seen, "--own-limit", wrong)

    def test_a_link_with_a_loss_but_no_inspection(self):
        seen = self.file("i.csv", "link,mark,zone,size_um\nE1,none,,\n")
        loss = self.file("l.csv", "link,loss_db,limit_db\nE1,0.3,0.5\nE2,0.3,0.5\n")
        links = self.answer("endfaces", "--inspections", seen, "--loss", loss, status=1)["links"]
        self.assertEqual([l["outcome"] for l in links], ["pass", "not tested"])
