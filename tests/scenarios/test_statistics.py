"""Uncertainties and probabilities of a job, worked out again by R from what the program printed."""

import csv
import json
import subprocess

from support import Scenario, root

campus = root / "demo-campus"

# Standard uncertainty of each contribution (JCGM 100:2008, 4.3: half-width over the divisor of its spread), their
# combination (equation 10), and the spread of what is drawn from the distributions themselves (JCGM 101:2008).
COMBINE = """
d <- read.csv("contributions.csv"); set.seed(7); n <- 400000
u <- d$half_width / ifelse(d$spread == "normal", d$k, c(rectangular = sqrt(3), triangular = sqrt(6),
                                                       arcsine = sqrt(2), normal = 1)[d$spread])
draw <- function(spread, half, k) switch(spread, rectangular = runif(n, -half, half), normal = rnorm(n, 0, half / k),
  triangular = (runif(n, -half, half) + runif(n, -half, half)) / 2, arcsine = half * sin(runif(n, -pi, pi)))
all <- Reduce(`+`, Map(draw, d$spread, d$half_width, d$k))
cat(sprintf("%.9f", c(sqrt(sum(u^2)), sqrt(sum(u[d$shared == 1]^2)), sd(all))))
"""
PROBABILITY = """
d <- read.csv("tests.csv")
cat(sprintf("%.9f", max(abs(pnorm((d$limit_db - d$loss_db) / d$uncertainty_db) - d$conformance_probability))))
"""


class Statistics(Scenario):
    def r(self, script):
        done = subprocess.run(["Rscript", "--vanilla", "-e", script], cwd=self.folder, capture_output=True, text=True,
                              check=False)
        self.assertEqual(done.returncode, 0, done.stderr)
        return [float(word) for word in done.stdout.split()]

    def table(self, name, rows):
        with open(self.folder / name, "w", newline="") as out:
            writer = csv.DictWriter(out, rows[0])
            writer.writeheader()
            writer.writerows(rows)

    def test_probabilities_of_the_campus(self):
        # SOURCE: R's pnorm; JCGM 106:2012, 7.4, and the four states of ILAC-G8:09/2019, 4.2.3.
        result = self.assess("--schedule", campus / "schedule.csv", "--references", campus / "references.csv",
                             "--readings", campus / "readings-crew-k.csv", "--readings", campus / "readings-crew-r.csv",
                             "--readings", campus / "readings-crew-t.xlsx", "--rule", "iso-14763-3-2024", "--guard", "U")
        keys = ("loss_db", "limit_db", "uncertainty_db", "conformance_probability")
        judged = [t for t in result["tests"] if t["outcome"] not in ("not tested", "invalid")]
        self.assertGreater(len(judged), 1000)
        self.table("tests.csv", [{key: test[key] for key in keys} for test in judged])
        self.assertLess(self.r(PROBABILITY)[0], 1e-4)  # numbers are printed to six decimals
        bands = {"pass": (-1e9, -2), "conditional pass": (-2, 0), "conditional fail": (0, 2), "fail": (2, 1e9)}
        for test in judged:
            beyond = (test["loss_db"] - test["limit_db"]) / test["uncertainty_db"]
            low, high = bands[test["outcome"]]
            self.assertTrue(low - 1e-4 <= beyond <= high + 1e-4, test)

    def test_uncertainty_from_its_contributions(self):
        rows = json.loads((root / "rules/practice/uncertainty.json").read_text())["contributions"]
        for mode, fibre, nm, loss, metres in (("multimode", "OM4", 850, 1.3, 400), ("single-mode", "OS2", 1310, 0.6, 2000)):
            test = self.judged(fibre, nm, loss, metres)
            scale = {"dB": 1, "dB per dB of loss": loss, "dB per km": metres / 1000}
            self.table("contributions.csv", [
                {"half_width": max(row["half_width"] * scale[row["unit"]], row.get("minimum_db", 0)), "k": row.get("k", 1),
                 "spread": row["distribution"], "shared": int(row["applies_to"] == "session")}
                for row in rows if row["mode"] in ("both", mode) and row.get("wavelength_nm", nm) == nm
                and row.get("enters") != "different meter or setting only"])
            combined, shared, drawn = self.r(COMBINE)
            self.assertAlmostEqual(test["uncertainty_db"], combined, places=6)
            self.assertAlmostEqual(test["shared_uncertainty_db"], shared, places=6)
            self.assertAlmostEqual(drawn / test["uncertainty_db"], 1, places=2)

    def judged(self, fibre, nm, loss, metres):
        """One reading without a closing check, by the meter that read the reference."""
        schedule = f"link,strand,fibre,length_m,connections,splices\nA,1,{fibre},{metres},2,0\n"
        reference = f"wavelength_nm,power_dbm,method,time,meter\n{nm},-20,one-cord,2026-04-05 08:00,M1\n"
        reading = f"link,strand,wavelength_nm,power_dbm,time,meter\nA,1,{nm},{-20 - loss},2026-04-05 09:00,M1\n"
        result = self.assess("--schedule", self.file("s.csv", schedule), "--references", self.file("f.csv", reference),
                             "--readings", self.file("r.csv", reading), "--rule", "iso-14763-3-2024")
        return self.verdict_of(result, "A", nm)
