"""Runs the program as a person would and reads what it wrote."""

import json
import os
import pathlib
import subprocess
import tempfile
import unittest

import jsonschema

root = pathlib.Path(__file__).resolve().parents[2]
program = os.environ.get("STRANDBOOK", str(root / "build/release/strandbook"))
schema = json.loads((root / "docs/assessment.schema.json").read_text())


class Scenario(unittest.TestCase):
    def setUp(self):
        scratch = tempfile.TemporaryDirectory()
        self.addCleanup(scratch.cleanup)
        self.folder = pathlib.Path(scratch.name)

    def file(self, name, content):
        path = self.folder / name
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return path

    def run_program(self, *arguments):
        return subprocess.run([program, *map(str, arguments)], capture_output=True, text=True, timeout=600,
                              cwd=self.folder, check=False)

    def assess(self, *arguments, status=None):
        """The assessment of loose files, checked against the schema."""
        out = self.folder / "out.json"
        done = self.run_program("assess", *arguments, "--json", out)
        self.assertIn(done.returncode, (0, 1), done.stderr)
        if status is not None:
            self.assertEqual(done.returncode, status, done.stdout + done.stderr)
        result = json.loads(out.read_text())
        jsonschema.validate(result, schema)
        self.terminal = done.stdout
        self.check_sums(result)
        return result

    def check_sums(self, result):
        """What must hold in every assessment."""
        summary = result["summary"]
        self.assertEqual(summary["planned"], len(result["tests"]))
        self.assertEqual(summary["planned"], sum(n for key, n in summary.items() if key != "planned"))
        for test in result["tests"]:
            if test["limit_db"] is not None and test["loss_db"] is not None:
                self.assertAlmostEqual(test["margin_db"], test["limit_db"] - test["loss_db"], places=5)
            if test["working"]:
                self.assertAlmostEqual(sum(term["total_db"] for term in test["working"]), test["limit_db"], places=5)

    def verdict_of(self, result, strand, nm=None, direction=None):
        found = [t for t in result["tests"] if strand in (t["strand"], t["link"])
                 and nm in (None, t["wavelength_nm"]) and direction in (None, t["direction"])]
        self.assertEqual(len(found), 1, f"{strand} {nm} {direction}: {found}")
        return found[0]

    def kinds(self, result, weight=None):
        return [f["kind"] for f in result["findings"] if weight in (None, f["weight"])]

    def finding(self, result, kind):
        found = [f for f in result["findings"] if f["kind"] == kind]
        self.assertEqual(len(found), 1, [f["summary"] for f in result["findings"]])
        return found[0]

    def strands_of(self, result, finding):
        return {result["tests"][i]["strand"] for i in finding["tests"]}

    def refused(self, *arguments):
        """The words of a refusal: exit status 2, nothing on standard output."""
        done = self.run_program(*arguments)
        self.assertEqual(done.returncode, 2, done.stdout + done.stderr)
        self.assertEqual(done.stdout, "")
        self.assertTrue(done.stderr.startswith("strandbook: "), done.stderr)
        return done.stderr

    def limit(self, *arguments):
        done = self.run_program("limit", *arguments, "--json")
        self.assertEqual(done.returncode, 0, done.stderr)
        return json.loads(done.stdout)


class Crews(Scenario):
    """Several devices, each with books of its own."""

    def as_device(self, name):
        os.environ["STRANDBOOK_DEVICE"] = str(self.folder / f"device-{name}")

    def book_do(self, action, *arguments, status=0):
        done = self.run_program("book", action, *arguments)
        self.assertEqual(done.returncode, status, done.stdout + done.stderr)
        return done.stdout
