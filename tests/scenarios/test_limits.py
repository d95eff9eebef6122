"""Limits against published worked budgets."""

import json

from support import Scenario


class PublishedLimits(Scenario):
    def limit_db(self, rule, *more, fibre="OM4", length=100, connections=2, nm=850):
        return self.limit("--fibre", fibre, "--length", length, "--connections", connections, "--splices", 0,
                          "--wavelength", nm, "--rule", rule, *more)["limit_db"]

    # SOURCE: ISO/IEC 14763-3:2024, example 1, read in a published extract: 100 m OM4, two panel connections, 1.85 dB.
    def test_example_1(self):
        self.assertEqual(self.limit_db("iso-14763-3-2024"), 1.85)
        self.assertEqual(self.limit_db("iso-14763-3-2024", "--reference-method", "three-cord"), 1.85)
        self.assertEqual(self.limit_db("iso-14763-3-2024", nm=1300), 1.65)

    # SOURCE: ISO/IEC 14763-3:2024 limit table (extract): end connections 0.45 dB multimode, 0.70 dB single-mode.
    def test_end_connections_of_a_one_cord_reading(self):
        self.assertEqual(self.limit_db("iso-14763-3-2024", "--reference-method", "one-cord"), 1.25)
        self.assertEqual(self.limit_db("iso-14763-3-2024", "--reference-method", "one-cord", fibre="OS2", nm=1310), 1.44)

    # SOURCE: trade statement on one-, two- and three-cord references: both, one and no end connection; common practice.
    def test_methods_count_their_connections(self):
        for method, expected in (("one-cord", 1.85), ("two-cord", 1.10), ("three-cord", 0.35)):
            self.assertEqual(self.limit_db("iso-11801-1-2017", "--reference-method", method), expected)

    def test_working_names_its_source(self):
        result = self.limit("--fibre", "OM5", "--length", 200, "--connections", 2, "--wavelength", 850,
                            "--rule", "iso-11801-1-2017", "--reference-method", "one-cord")
        fibre = result["working"][0]
        self.assertEqual((fibre["term"], fibre["each_db"]), ("fibre", 3.0))
        self.assertIn("11801-1:2017", fibre["source"])

    def test_text_shows_the_sum(self):
        done = self.run_program("limit", "--fibre", "OS2", "--plant", "outside", "--length", "400", "--connections", "2",
                                "--splices", "2", "--wavelength", "1310", "--rule", "tia-568.3-e",
                                "--reference-method", "one-cord", "--cord-grade", "standard")
        self.assertIn("Limit 2.26 dB", done.stdout)
        self.assertIn("from memory", done.stdout)


class Refusals(Scenario):
    base = ("limit", "--length", "100", "--connections", "2", "--wavelength", "850")

    def test_unknown_rule_lists_the_known(self):
        words = self.refused(*self.base, "--fibre", "OM4", "--rule", "tia-999")
        self.assertIn("iso-14763-3-2024", words)

    def test_unknown_fibre(self):
        self.assertIn("OM1 to OM5", self.refused(*self.base, "--fibre", "OM9", "--rule", "tia-568.3-e"))

    def test_numbers_out_of_range(self):
        for option, value in (("--length", "-5"), ("--length", "nan"), ("--length", "1e7"), ("--length", "12o"),
                              ("--connections", "2.5"), ("--connections", "-1")):
            arguments = list(self.base)
            arguments[arguments.index(option) + 1] = value
            self.refused(*arguments, "--fibre", "OM4", "--rule", "tia-568.3-e")

    def test_wavelength_without_a_limit(self):
        arguments = list(self.base)
        arguments[-1] = "1550"
        self.assertIn("1550", self.refused(*arguments, "--fibre", "OM4", "--rule", "tia-568.3-e"))

    def test_own_rule_file_with_a_fault_names_its_line(self):
        path = self.file("mine.json", json.dumps({"id": "own:mine", "title": "Mine", "document": "D", "edition": "1",
                                                  "attenuation": "much"}, indent=1))
        self.assertIn("row", self.refused("rules", "check", path))
