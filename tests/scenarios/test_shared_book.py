"""One book in a PostgreSQL database: many programs at once, a server that dies, two services. Run by tests/with_postgres."""

import os
import pathlib
import re
import subprocess
import threading
import time
import unittest
import uuid

from service import Client
from support import Scenario, program, root

campus = root / "demo-campus"
server = os.environ.get("STRANDBOOK_POSTGRES")


def as_server(*command):
    """Runs a command of the server as its user, which is never root."""
    bin_folder = sorted(pathlib.Path("/usr/lib/postgresql").glob("*/bin"))[-1]
    user = ["setpriv", "--reuid=postgres", "--regid=postgres", "--clear-groups"] if os.getuid() == 0 else []
    return subprocess.run([*user, bin_folder / command[0], *command[1:]], capture_output=True, text=True, check=False,
                          cwd=os.environ["STRANDBOOK_POSTGRES_FOLDER"])


@unittest.skipUnless(server, "run it by tests/with_postgres")
class SharedBook(Scenario):
    number = 0

    def setUp(self):
        super().setUp()
        os.environ["STRANDBOOK_DEVICE"] = str(self.folder / "device")
        SharedBook.number += 1
        schema = f"job{os.getpid()}_{SharedBook.number}"
        subprocess.run(["psql", "-q", server, "-c", f"create schema {schema}"], check=True)
        self.book = f"{server}?options=-csearch_path%3D{schema}"
        self.assertEqual(self.run_program("book", "create", self.book, "--name", "Campus").returncode, 0)

    def add(self, device, *files):
        environment = {**os.environ, "STRANDBOOK_DEVICE": str(self.folder / device)}
        return subprocess.run([program, "book", "add", self.book, *map(str, files)], capture_output=True, text=True,
                              cwd=self.folder, env=environment, check=False)

    def small_file(self, name, strand):
        # No two alike: strands that all read the same would rightly be a finding.
        loss = 0.3 + int(strand) * 37 % 101 / 1000
        return self.file(name, f"link,strand,wavelength_nm,direction,loss_db\nA,{strand},1310,AB,{loss:.3f}\n")

    def readings(self):
        """Strands that the book has readings of."""
        out = self.assess("--book", self.book, "--limit", 1)
        return {test["strand"] for test in out["tests"] if test["loss_db"] is not None}

    def plan(self, strands):
        rows = "".join(f"A,{n:04d}\n" for n in range(strands))
        self.assertEqual(self.add("plan", "--schedule", self.file("plan.csv", "link,strand\n" + rows)).returncode, 0)

    def test_the_campus_is_the_campus(self):
        done = self.add("k", "--schedule", campus / "schedule.csv", "--references", campus / "references.csv", "--readings",
                        campus / "readings-crew-k.csv", "--readings", campus / "readings-crew-r.csv", "--readings",
                        campus / "readings-crew-t.xlsx")
        self.assertEqual(done.returncode, 1, done.stderr)
        kept = self.assess("--book", self.book, "--rule", "iso-14763-3-2024", status=1)
        # demo-campus/expected.md, worked out by the scenario's own arithmetic
        self.assertEqual(kept["summary"], {"planned": 1848, "pass": 1711, "conditional_pass": 0, "conditional_fail": 0,
                                           "fail": 16, "not_tested": 21, "invalid": 100})

    def test_crews_add_at_once(self):
        self.plan(40)
        crews = [[self.small_file(f"{crew}-{n}.csv", f"{crew * 10 + n:04d}") for n in range(10)] for crew in range(4)]

        def crew_adds(crew):
            for file in crews[crew]:
                self.assertEqual(self.add(f"crew{crew % 3}", "--readings", file).returncode, 0)
        threads = [threading.Thread(target=crew_adds, args=(crew,)) for crew in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        self.assertEqual(len(self.readings()), 40)
        self.assertIn("in order.", self.run_program("book", "verify", self.book).stdout)

    def test_a_server_that_dies_loses_nothing_acknowledged_and_doubles_nothing(self):
        self.plan(60)
        acknowledged, tried, ending = set(), [0], threading.Event()

        def keep_adding():
            while not ending.is_set() and tried[0] < 60:
                strand = f"{tried[0]:04d}"
                tried[0] += 1
                file = self.small_file(f"r{strand}.csv", strand)
                if self.add("crew", "--readings", file).returncode == 0:
                    acknowledged.add(strand)
        worker = threading.Thread(target=keep_adding)
        worker.start()
        for _ in range(3):
            time.sleep(1.5)
            self.assertEqual(as_server("pg_ctl", "--pgdata=data", "--mode=immediate", "stop").returncode, 0)
            time.sleep(0.3)
            self.assertEqual(as_server("pg_ctl", "--pgdata=data", "--log=server.log", "--wait", "--options",
                                       self.server_options(), "start").returncode, 0)
        while len(acknowledged) <= 5 and worker.is_alive():  # a slow machine gets there too
            time.sleep(0.1)
        ending.set()
        worker.join()
        self.assertGreater(len(acknowledged), 5)
        self.assertLessEqual(acknowledged, self.readings())
        self.assertIn("in order.", self.run_program("book", "verify", self.book).stdout)
        # Every file again: what had been written before the answer was lost is known, the rest comes in.
        for number in range(tried[0]):
            again = self.add("crew", "--readings", self.folder / f"r{number:04d}.csv")
            self.assertEqual(again.returncode, 0, again.stderr)
        view = self.assess("--book", self.book, "--limit", 1)
        self.assertEqual(sum(test["loss_db"] is not None for test in view["tests"]), tried[0])
        self.assertEqual(view["findings"], [])

    def serve(self):
        """A service of its own before the same database."""
        service = subprocess.Popen([program, "serve", self.book, "--port", "0"], stdout=subprocess.PIPE, text=True, cwd=self.folder)
        self.addCleanup(lambda: (service.kill(), service.wait(), service.stdout.close()))
        line = next(line for line in service.stdout if line.startswith("strandbook serves at"))
        client = Client(int(re.search(r":(\d+)/", line).group(1)))
        self.addCleanup(client.close)
        return client

    def test_what_one_service_records_the_other_shows(self):
        self.plan(3)
        self.assertEqual(self.run_program("book", "rule", self.book, "--limit", 1, "--wavelengths", 1310, "--person", "R.",
                                          "--reason", "spec").returncode, 0)
        here, there = self.serve(), self.serve()
        job = here.get("/api/v1/jobs").json[0]["id"]
        reading = {"link": "A", "strand": "0001", "wavelength_nm": 1310, "direction": "AB", "loss_db": 0.42,
                   "time": "2026-05-20T08:00:00Z", "operator": "K.", "entry": str(uuid.uuid4())}
        self.assertEqual(here.post(f"/api/v1/jobs/{job}/readings", reading).status, 200)
        self.assertEqual(here.post(f"/api/v1/jobs/{job}/readings", reading).status, 200, "sent again")
        ending = time.monotonic() + 10
        while there.get(f"/api/v1/jobs/{job}").json["counts"]["readings"] != 1:
            self.assertLess(time.monotonic(), ending)
            time.sleep(0.1)

    def test_an_entry_sent_to_two_services_is_recorded_once(self):
        self.plan(40)
        self.assertEqual(self.run_program("book", "rule", self.book, "--limit", 1, "--wavelengths", 1310, "--person", "R.",
                                          "--reason", "spec").returncode, 0)
        services = [self.serve(), self.serve()]
        job = services[0].get("/api/v1/jobs").json[0]["id"]
        entries = [{"link": "A", "strand": f"{n:04d}", "wavelength_nm": 1310, "direction": "AB", "loss_db": 0.42, "operator": "K.",
                    "time": "2026-05-20T08:00:00Z", "entry": str(uuid.uuid4())} for n in range(40)]
        answers = [[], []]

        def send(number):
            for entry in entries if number == 0 else entries[::-1]:
                answers[number].append(services[number].post(f"/api/v1/jobs/{job}/readings", entry))
        threads = [threading.Thread(target=send, args=(number,)) for number in range(2)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        self.assertEqual({answer.status for each in answers for answer in each}, {200})
        facts = [{answer.json["fact"] for answer in each} for each in answers]
        self.assertEqual(facts[0], facts[1])
        self.assertEqual(sum(not answer.json["already"] for each in answers for answer in each), 40)
        self.assertEqual(self.assess("--book", self.book)["summary"]["pass"], 40)

    def server_options(self):
        port = server.rsplit(":", 1)[1].split("/")[0]
        folder = os.environ["STRANDBOOK_POSTGRES_FOLDER"]
        return f"-c listen_addresses=127.0.0.1 -c port={port} -c unix_socket_directories={folder}"


if __name__ == "__main__":
    unittest.main()
