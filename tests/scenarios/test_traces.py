"""Traces as an OTDR leaves them: a record packed here byte by byte, tables from both ends, and a meter beside them."""

import json
import math
import random
import struct
import subprocess

import jsonschema

from support import Scenario, root

trace_schema = json.loads((root / "docs/traces.schema.json").read_text())

light_speed, index, step, pulse_ns, backscatter = 299792458.0, 1.468, 0.5, 30, -80.0
pulse_m = light_speed * pulse_ns * 1e-9 / 2 / index


class Plant:
    """Fibres (metres) with joints (loss A to B as shown, B to A as shown, reflectance dB or None) between them."""

    def __init__(self, lengths, joints):
        self.lengths, self.joints = lengths, joints

    def levels(self, reverse=False, seed=1):
        lengths = self.lengths[::-1] if reverse else self.lengths
        joints = [(b, a, r) if reverse else (a, b, r) for a, b, r in (self.joints[::-1] if reverse else self.joints)]
        places = [sum(lengths[:i + 1]) for i in range(len(joints))]
        end = sum(lengths)
        dice = random.Random(seed)
        noise = 10 ** (-18 / 5)
        unit = 10 ** (backscatter / 10) * pulse_ns
        levels, held = [], 0.0
        tick = 2 * index * step / light_speed
        keep = math.exp(-tick * 2 * math.pi * 14e6)
        for k in range(int(end / step * 1.4)):
            z, light = k * step, 0.0
            shown = 0.00035 * z
            for place, (loss, _, reflectance) in zip(places, joints):
                share = min(1.0, max(0.0, (z - place) / pulse_m))
                if reflectance is not None and 0 <= z - place < pulse_m:
                    light += 10 ** (reflectance / 10) / unit * 10 ** (-0.4 * shown)
                shown += loss * share
            gone = min(1.0, max(0.0, (z - end) / pulse_m))
            light += 10 ** (-shown / 5) * (1 - gone)
            if 0 <= z - end < pulse_m:
                light += 10 ** (-45 / 10) / unit * 10 ** (-0.4 * shown)
            held = keep * held + (1 - keep) * light
            levels.append(5 * math.log10(max(held + noise * dice.gauss(0, 1), 1e-5)) if k else -1.0)
        return levels


def table(levels, **settings):
    head = ["# otdr-table 1", f"# wavelength_nm=1310 pulse_ns={pulse_ns} group_index={index} backscatter_1ns_db={backscatter}",
            "# level=oneway_db sign=up"] + [f"# {key}={value}" for key, value in settings.items()]
    return "\n".join(head + ["distance_m,level_db"] + [f"{k * step:.3f},{level:.4f}" for k, level in enumerate(levels)]) + "\n"


def record(levels, cable="NK-07", fibre="F12"):
    """A version 2 record, packed without any code of the program."""
    def text(word):
        return word.encode() + b"\0"

    spacing = round(step * index / light_speed / 1e-14)
    samples = [min(65535, max(1, round(1000 * (20 - level)))) for level in levels]
    blocks = {
        "GenParams": b"EN" + text(cable) + text(fibre) + struct.pack("<hh", 652, 1310) + text("A") + text("B") + text("") + b"BC"
        + struct.pack("<ii", 0, 0) + text("") + text(""),
        "SupParams": text("bench") + text("") * 6,
        "FxdParams": struct.pack("<I2shiih", 1750000000, b"mt", 13100, 0, 0, 1) + struct.pack("<Hii", pulse_ns, spacing, len(samples))
        + struct.pack("<ihiHiii", 146800, 800, 1000, 300, round(len(samples) * spacing / 10000), 0, 0)
        + struct.pack("<HhHHHH", 0, 1000, 0, 50, 40000, 3000) + b"ST" + struct.pack("<iiii", 0, 0, 0, 0),
        "DataPts": struct.pack("<ihiH", len(samples), 1, len(samples), 1000) + struct.pack(f"<{len(samples)}H", *samples),
        "Cksum": b"\0\0",
    }
    blocks = {name: text(name) + body for name, body in blocks.items()}
    entries = b"".join(text(name) + struct.pack("<Hi", 200, len(body)) for name, body in blocks.items())
    size = 4 + 8 + len(entries)
    data = b"Map\0" + struct.pack("<Hih", 200, size, len(blocks) + 1) + entries + b"".join(blocks.values())
    crc = 0xFFFF
    for byte in data[:-2]:
        crc ^= byte << 8
        for _ in range(8):
            crc = (crc << 1 ^ 0x1021 if crc & 0x8000 else crc << 1) & 0xFFFF
    return data[:-2] + struct.pack("<H", crc)


# Least squares on both sides of an event, over the samples that the program names, met where the event begins.
STEP = """
y <- scan("levels.txt", quiet = TRUE); a <- as.numeric(commandArgs(TRUE)); x <- (seq_along(y) - 1) * a[6] / 1000
side <- function(first, last) { k <- (first + 1):last; lm(y[k] ~ x[k]) }
before <- coef(side(a[1], a[2])); after <- coef(side(a[3], a[4]))
cat(sprintf("%.9f", c(sum(before * c(1, a[5])) - sum(after * c(1, a[5])), -before[2])))
"""

# Launch cord 200 m, a connection, 400 m, a splice between unlike fibres, 500 m, a connection, receive cord 200 m.
plant = Plant([200, 400, 500, 200], [(0.30, 0.30, -45), (-0.12, 0.26, None), (0.25, 0.25, -48)])


class Traces(Scenario):
    def answer(self, *arguments, status=0):
        done = self.run_program("trace", *arguments, "--json")
        self.assertEqual(done.returncode, status, done.stdout[-2000:] + done.stderr)
        result = json.loads(done.stdout)
        jsonschema.validate(result, trace_schema)
        plain = self.run_program("trace", *arguments)
        self.assertEqual(plain.returncode, status, plain.stdout + plain.stderr)
        self.assertIn("Caution", plain.stdout)
        return result

    def pair_files(self):
        return (self.file("a.csv", table(plant.levels(), direction="AB", launch_m=200, tail_m=200)),
                self.file("b.csv", table(plant.levels(reverse=True, seed=2), direction="BA", launch_m=200, tail_m=200)))

    def test_a_record_gives_its_events_with_uncertainties(self):
        path = self.file("t.rec", record(plant.levels()))
        trace = self.answer("show", path, "--launch", "200", "--receive", "200")["traces"][0]
        self.assertEqual((trace["cable"], trace["fibre"], trace["end"]), ("NK-07", "F12", "found"))
        self.assertFalse([note for note in trace["notes"] if "checksum" in note], trace["notes"])
        found = [(event["kind"], event["position_m"], event["loss_db"]) for event in trace["events"] if event["kind"] != "ghost"]
        self.assertEqual([kind for kind, _, _ in found], ["reflective", "gain", "reflective", "end of fibre"], found)
        for (_, place, loss), (at, shown) in zip(found, [(200, 0.30), (600, -0.12), (1100, 0.25), (1300, None)]):
            self.assertAlmostEqual(place, at, delta=2)
            if shown is not None:
                self.assertAlmostEqual(loss, shown, delta=0.03)
        self.assertAlmostEqual(trace["link"]["length_m"], 900, delta=2)
        self.assertAlmostEqual(trace["link"]["loss_db"], 0.30 - 0.12 + 0.25 + 0.9 * 0.35, delta=0.04)

    def test_r_finds_the_same_losses_in_the_samples_that_are_named(self):
        # SOURCE: R's lm. Levels in dB are not quite linear in the light and the program holds slopes by what the other
        # sections show, so the two differ by less than the uncertainty that is stated, not by nothing.
        levels = plant.levels(seed=5)
        self.file("levels.txt", "\n".join(f"{level:.6f}" for level in levels))
        trace = self.answer("show", self.file("t.csv", table(levels)))["traces"][0]
        compared = 0
        for event in trace["events"]:
            if event["loss_db"] is None:
                continue
            (a, b), (c, d) = event["samples_before"], event["samples_after"]
            arguments = [a, b, c, d, event["position_m"] / 1000, trace["sample_step_m"]]
            done = subprocess.run(["Rscript", "--vanilla", "-e", STEP, *map(str, arguments)], cwd=self.folder,
                                  capture_output=True, text=True, check=True)
            loss, _ = map(float, done.stdout.split())
            self.assertLess(abs(loss - event["loss_db"]), 2 * event["loss_uncertainty_db"] + 0.002, (loss, event))
            compared += 1
        self.assertEqual(compared, 3)

    def test_both_directions_give_the_splice_its_own_loss(self):
        pair = self.answer("pair", *self.pair_files(), "--profile", "owner:city-fibre-agreement")
        splice = next(event for event in pair["both_ways"] if 350 < event["position_m"] < 450)
        self.assertAlmostEqual(splice["mean_db"], 0.07, delta=0.02)
        self.assertIn("Only the mean", splice["explanation"])
        self.assertEqual(splice["verdict"], "within")
        self.assertEqual(splice["limit_db"], 0.25)

    def test_the_meter_decides_and_every_file_is_accounted_for(self):
        folder = self.folder / "traces"
        folder.mkdir()
        a, b = self.pair_files()
        a.rename(folder / "NK-07_F12_AB.csv")
        b.rename(folder / "NK-07_F12_BA.csv")
        (folder / "notes.txt").write_text("not a trace\n")
        schedule = self.file("s.csv", "link,strand,length_m,limit_db,wavelengths,directions\nNK-07,F12,900,2.0,1310,either\n")
        readings = self.file("r.csv", "link,strand,wavelength_nm,direction,loss_db\nNK-07,F12,1310,AB,0.95\n")
        joined = self.answer("join", folder, "--pattern", "{link}_{strand}_{direction}", "--schedule", schedule, "--readings",
                             readings, status=1)
        self.assertEqual(len(joined["unread_files"]), 1)
        strand = joined["strands"][0]
        self.assertEqual((strand["agreement"], len(strand["traces"])), ("agree", 2), strand)
        self.assertEqual(strand["meter_loss_db"], 0.95)
        self.assertIsNone(strand["length_note"])

    def test_what_cannot_be_read_is_named(self):
        done = self.run_program("trace", "show", self.file("x.rec", b"Map\0\xc8\0"))
        self.assertEqual(done.returncode, 2)
        self.assertIn("x.rec", done.stderr)
