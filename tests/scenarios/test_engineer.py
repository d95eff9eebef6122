"""Engineered links: what the optical link model answers on the command line."""

import json

from support import Scenario


class Engineered(Scenario):
    def engineer(self, application, fibre, length, connections, *more, status=0):
        done = self.run_program("engineer", "--application", application, "--fibre", fibre, "--length", length,
                                "--connection-loss", connections, *more, "--json")
        self.assertEqual(done.returncode, status, done.stdout + done.stderr)
        return json.loads(done.stdout)

    # SOURCE: IEEE 802.3ae link model workbook 10GEPBud3_1_16a, 2001: sheets at their target length.
    def test_results_of_the_workbook(self):
        for application, fibre, length, connections, margin, penalties in (
                ("10GBASE-SR", "OM1", 33, 2.31, 0.8169, 4.0450), ("10GBASE-S", "50/400", 66, 2.13, 0.6696, 4.2613),
                ("10GBASE-SR", "OM2", 82, 2.07, 0.7031, 4.2298), ("10GBASE-LX4", "OM1", 300, 2, 0.1692, 5.3676),
                ("10GBASE-LR", "OS2", 10000, 2, 0.1461, 3.0457), ("10GBASE-ER", "OS2", 40000, 1, 0.5879, 3.4881)):
            answer = self.engineer(application, fibre, length, connections)
            self.assertAlmostEqual(answer["margin_db"], margin, delta=6e-5)
            self.assertAlmostEqual(answer["penalties_db"]["total"], penalties, delta=6e-5)
            self.assertGreaterEqual(answer["reach_m"], length)

    # SOURCE: the same workbook: 10GBASE-LX4 over single-mode fibre misses by 0.0474 dB at 10 km.
    def test_a_link_that_does_not_carry(self):
        answer = self.engineer("10GBASE-LX4", "OS2", 10000, 2, status=1)
        self.assertFalse(answer["carries"])
        self.assertAlmostEqual(answer["margin_db"], -0.0474, delta=6e-5)
        self.assertLess(answer["reach_m"], 10000)

    # SOURCE: IEEE 802.3 clause 52: 10GBASE-S over 300 m of OM3, channel loss 2.6 dB (read in an extract).
    def test_split_of_the_published_limit(self):
        limit = self.engineer("10GBASE-SR", "OM3", 330, 0.9)["of_the_standard"]
        self.assertEqual(round(limit["loss_limit_db"], 1), 2.6)
        self.assertAlmostEqual(limit["fibre_db"] + limit["connections_db"], limit["loss_limit_db"], places=5)

    # SOURCE: a published working-group slide (read): 500 m of OM4 with 1.0 dB, 3.0 dB/km and at most 0.30 nm.
    def test_own_figures(self):
        own = ("--attenuation", 3.0, "--spectral-width", 0.30, "--modal-bandwidth", 4700)
        answer = self.engineer("10GBASE-SR", "OM4", 500, 1.0, *own)
        self.assertIn("Own figures", " ".join(answer["notes"]))
        self.assertEqual({i["standing"] for i in answer["inputs"] if i["name"] in ("attenuation", "rms_width")}, {"own"})

    def test_margin_is_what_the_terms_leave_and_the_curve_falls(self):
        answer = self.engineer("10GBASE-SR", "OM3", 300, 1.5)
        left = answer["budget_db"] - answer["connections_db"] - answer["fibre_db"] - answer["penalties_db"]["total"]
        self.assertAlmostEqual(left, answer["margin_db"], places=5)
        margins = [point["margin_db"] for point in answer["curve"] if point["margin_db"] is not None]
        self.assertEqual(margins, sorted(margins, reverse=True))
        self.assertGreater(answer["curve"][-1]["length_m"], answer["reach_m"])

    def test_text_shows_working_and_sources(self):
        done = self.run_program("engineer", "--application", "10GBASE-SR", "--fibre", "OM3", "--length", "300",
                                "--connections", "3", "--loss-each", "0.5", "--sources")
        self.assertEqual(done.returncode, 0, done.stderr)
        for words in ("Carries", "intersymbol interference", "= margin", "Reach with these connections",
                      "fibre 1.09 dB + connections 1.50 dB", "10GEPBud3_1_16a:2001", "seen in extract"):
            self.assertIn(words, done.stdout)

    def test_inferred_penalties_say_so(self):
        answer = self.engineer("1000BASE-SX", "OM2", 550, 1.5)
        self.assertTrue(answer["rests_on_memory"])
        self.assertFalse(self.engineer("10GBASE-SR", "OM3", 300, 1.5)["rests_on_memory"])
        self.assertIn("inferred", " ".join(answer["notes"]))


class Refusals(Scenario):
    def refusal(self, application, fibre, *more):
        return self.refused("engineer", "--application", application, "--fibre", fibre, "--length", "100",
                            *(more or ("--connection-loss", "1")))

    def test_applications_outside_the_model(self):
        for application, fibre, why in (("400GBASE-DR4", "OS2", "PAM4"), ("25GBASE-SR", "OM4", "forward error correction"),
                                        ("10GBASE-LRM", "OM3", "equalise"), ("1000BASE-LX", "OS2", "penalties"),
                                        ("10GBASE-XX", "OM3", "10GBASE-SR")):
            words = self.refusal(application, fibre)
            self.assertIn(why, words)
            self.assertIn("published table", words)

    def test_fibre_without_inputs_lists_those_with(self):
        self.assertIn("OM3", self.refusal("10GBASE-SR", "OS2"))

    def test_cable_of_a_wider_class_wants_its_attenuation(self):
        self.assertIn("--attenuation", self.refusal("10GBASE-LR", "OS1a"))

    def test_numbers(self):
        for more in (("--connection-loss", "-1"), ("--connection-loss", "nan"), ("--connection-loss", "1,5"),
                     ("--connection-loss", "1", "--connections", "2"), ("--connections", "2"),
                     ("--connections", "2.5", "--loss-each", "0.3"), ("--connections", "2", "--loss-each", "-0.3"),
                     ("--connection-loss", "1", "--attenuation", "0"), ("--connection-loss", "1", "--spectral-width", "99"),
                     ("--connection-loss", "1", "--modal-bandwidth", "-5")):
            self.refusal("10GBASE-SR", "OM3", *more)
        for length in ("0", "-5", "1e6", "nan", "12o"):
            self.refused("engineer", "--application", "10GBASE-SR", "--fibre", "OM3", "--connection-loss", "1",
                         "--length", length)
