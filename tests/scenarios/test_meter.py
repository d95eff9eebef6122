"""Meters: the simulated one over TCP and a serial line, and every way in which one fails."""

import pathlib
import re
import socket
import subprocess
import threading
import time

from service import Served
from support import Scenario, program

simulator = pathlib.Path(program).parent / "meter-simulator"


class Meters:
    def simulate(self, *arguments):
        process = subprocess.Popen([simulator, *arguments], stdout=subprocess.PIPE, text=True)
        self.addCleanup(process.stdout.close)
        self.addCleanup(process.wait)
        self.addCleanup(process.terminate)
        return process.stdout.readline().strip()

    def tell(self, address, *commands):
        host, port = re.fullmatch(r"tcp://(.*):(\d+)", address).groups()
        with socket.create_connection((host, int(port))) as line:
            for command in commands:
                line.sendall(command.encode() + b"\n")
            line.sendall(b"*IDN?\n")
            line.settimeout(0.2)
            try:
                line.recv(100)  # it has read all before
            except OSError:
                pass


class CommandLine(Meters, Scenario):
    def read(self, address, *more, status=0):
        done = self.run_program("meter", "read", "--address", address, *more)
        self.assertEqual(done.returncode, status, done.stdout + done.stderr)
        return done.stdout or done.stderr

    def test_a_level_at_the_wavelength_that_is_wanted(self):
        address = self.simulate("--tcp", "0", "--noise", "0", "--drift", "0")
        self.assertIn("-5.000 dBm at 1310 nm  STRANDBOOK,SIMULATED METER", self.read(address))
        self.assertIn("-20.000 dBm at 850 nm", self.read(address, "--wavelength", 850))

    def test_watts_and_other_line_ends_and_a_serial_line(self):
        address = self.simulate("--pty", "--noise", "0", "--drift", "0", "--watts", "--crlf")
        self.assertIn("-5.000 dBm at 1310 nm", self.read(address + "?baud=115200", "--unit", "W"))

    def test_what_goes_wrong_is_said(self):
        address = self.simulate("--tcp", "0")
        for fault, words in (("garbage", "a power as a number"), ("over", "Too much light"), ("under", "Too little light"), ("nan", "no reading"),
                             ("silent", "no answer within 2000 ms"), ("hang-up", "the connection was closed"), ("endless", "an endless answer")):
            self.tell(address, f"SIM:FAULT {fault}")
            started = time.monotonic()
            self.assertIn(words, self.read(address, status=1), fault)
            self.assertLess(time.monotonic() - started, 10, "given up after its two seconds, however slow the machine")
            self.tell(address, "SIM:FAULT none")
        self.assertIn("refused", self.read("tcp://127.0.0.1:1", status=1))
        self.assertIn("tcp://HOST:PORT", self.read("usb:1", status=1))
        self.assertIn("No such file", self.read("serial:/dev/nothing-here", status=1))


class Screens(Meters, Served):
    def test_a_screen_sets_a_meter_up_and_reads_it(self):
        address = self.simulate("--tcp", "0", "--noise", "0", "--drift", "0")
        commands = {"identify": "*IDN?", "power": "READ:POW?", "wavelength": "SENS:POW:WAV?", "set_wavelength": "SENS:POW:WAV {nm}NM"}
        meter = {"name": "bench", "address": address, "commands": commands, "unit": "dBm"}
        self.assertEqual(self.ok(self.client.get("/api/v1/instruments")), [])
        self.assertEqual(self.ok(self.client.request("PUT", "/api/v1/instruments", [meter])), [meter])
        read = self.ok(self.client.post("/api/v1/instruments/read", {"name": "bench", "set_wavelength_nm": 1550}))
        self.assertEqual((read["power_dbm"], read["wavelength_nm"]), (-5.2, 1550))
        self.tell(address, "SIM:FAULT over")
        failed = self.client.post("/api/v1/instruments/read", {"name": "bench"})
        self.assertEqual(failed.status, 502)
        self.assertIn("Too much light", failed.json["error"]["advice"])
        self.assertEqual(self.client.post("/api/v1/instruments/read", {"name": "other"}).status, 404)
        for bad in ({**meter, "unit": "mW"}, {**meter, "address": "file:///etc/passwd"}, {**meter, "commands": {"power": "a\nb"}}, {**meter, "more": 1}, [], 7):
            self.assertEqual(self.client.request("PUT", "/api/v1/instruments", [bad]).status, 400)
        self.assertEqual(self.client.request("PUT", "/api/v1/instruments", [meter, meter]).status, 400)
        self.restart()
        self.assertEqual(self.ok(self.client.get("/api/v1/instruments")), [meter])

    def test_a_silent_meter_keeps_no_screen_waiting(self):
        address = self.simulate("--tcp", "0")
        self.ok(self.client.request("PUT", "/api/v1/instruments", [{"name": "m", "address": address, "commands": {
            "identify": "", "power": "READ:POW?", "wavelength": "", "set_wavelength": ""}, "unit": "dBm"}]))
        self.tell(address, "SIM:FAULT silent")
        failed = []
        asking = threading.Thread(target=lambda: failed.append(self.once("/api/v1/instruments/read", {"name": "m"}).status))
        asking.start()
        time.sleep(0.2)
        started = time.monotonic()
        self.ok(self.client.post(self.path("/readings"), self.reading()))
        self.assertLess(time.monotonic() - started, 0.5)
        asking.join()
        self.assertEqual(failed, [502])
