"""bench/run faults SEED: a book under faults, many times over.

Each round draws its fault from SEED. What was acknowledged must be there afterwards, once; the book opens, or says what is
damaged, and the rest of it comes over into a new book. The figures stand in docs/reliability.md.
"""

import collections
import json
import os
import pathlib
import random
import re
import resource
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
import urllib.request
import uuid

program = pathlib.Path(os.environ.get("STRANDBOOK", pathlib.Path(__file__).resolve().parent.parent / "build/release/strandbook"))
fake_clock = next(iter(sorted(pathlib.Path("/usr/lib").glob("*/faketime/libfaketime.so.1"))), None)
STRANDS = 400


class Broken(Exception):
    """Something that must never happen did."""


def demand(holds, what):
    if not holds:
        raise Broken(what)


class Ground:
    """A folder with a book whose schedule has STRANDS strands; each round uses strands of its own."""

    def __init__(self, dice):
        self.dice = dice
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="strandbook-faults-"))
        self.book = self.folder / "job.book"
        self.run("book", "create", self.book, "--name", "Faults")
        schedule = self.folder / "plan.csv"
        schedule.write_text("link,strand,limit_db,wavelengths\n" + "".join(f"L,{n:04d},1,1310\n" for n in range(STRANDS)))
        self.run("book", "add", self.book, "--schedule", schedule)

    def environment(self, device="a", **more):
        return {**os.environ, "STRANDBOOK_DEVICE": str(self.folder / f"device-{device}"), "XDG_STATE_HOME": str(self.folder), **more}

    def run(self, *arguments, device="a", limit=None, **more):
        def before():
            if limit is not None:
                resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit))
        done = subprocess.run([program, *map(str, arguments)], capture_output=True, text=True, encoding="utf-8", timeout=60,
                              env=self.environment(device, **more), preexec_fn=before, restore_signals=False, check=False)
        demand(done.returncode in (0, 1, 2), f"{arguments} ended with {done.returncode}: {done.stderr[-400:]}")
        return done

    def held(self, book=None):
        """Strand to loss and number of further readings, of all strands that were read."""
        out = self.folder / "held.json"
        done = self.run("assess", "--book", book or self.book, "--json", out, "-q")
        demand(done.returncode in (0, 1), done.stderr)
        return {t["strand"]: (t["loss_db"], t["other_readings"]) for t in json.loads(out.read_text())["tests"] if t["loss_db"] is not None}

    def in_order(self, book=None):
        done = self.run("book", "verify", book or self.book)
        demand(done.returncode == 0, done.stdout + done.stderr)

    def file(self, name, strands, loss=0.4):
        path = self.folder / name
        path.write_text("link,strand,wavelength_nm,direction,loss_db\n" + "".join(f"L,{s:04d},1310,AB,{loss}\n" for s in strands))
        return path

    def some(self, most):
        return self.dice.sample(range(STRANDS), self.dice.randint(1, most))

    def serve(self):
        server = subprocess.Popen([program, "serve", str(self.folder), "--port", "0"], stdout=subprocess.PIPE, text=True, env=self.environment())
        for line in server.stdout:
            if found := re.search(r"serves at http://127\.0\.0\.1:(\d+)/", line):
                return server, int(found.group(1))
        raise Broken("the service did not start")

    def close(self):
        shutil.rmtree(self.folder, ignore_errors=True)


def body(strand, entry):
    return json.dumps({"entry": entry, "link": "L", "strand": f"{strand:04d}", "wavelength_nm": 1310, "direction": "AB", "loss_db": 0.4,
                       "time": "2026-05-20T08:00:00Z", "operator": "K."}).encode()


def post(port, content):
    request = urllib.request.Request(f"http://127.0.0.1:{port}/api/v1/jobs/job/readings", data=content, headers={"Content-Type": "application/json"})
    with urllib.request.urlopen(request, timeout=10) as answer:
        return json.load(answer)


def killed(ground, tear=False):
    """The service dies while two people write; with `tear`, what it had not acknowledged is torn on the disk."""
    server, port = ground.serve()
    acknowledged, log_size = [], [0]
    log = pathlib.Path(str(ground.book) + "-wal")

    def write(strands):
        for strand in strands:
            try:
                post(port, body(strand, str(uuid.uuid4())))
            except OSError:
                return
            acknowledged.append(f"{strand:04d}")
            log_size[0] = log.stat().st_size if log.exists() else 0
    order = ground.dice.sample(range(STRANDS), STRANDS)
    writers = [threading.Thread(target=write, args=(part,)) for part in (order[::2], order[1::2])]
    for writer in writers:
        writer.start()
    time.sleep(ground.dice.uniform(0.005, 0.25))
    server.send_signal(signal.SIGKILL)
    server.wait()
    server.stdout.close()
    for writer in writers:
        writer.join()
    if tear and log.exists() and log.stat().st_size > log_size[0]:
        with log.open("r+b") as file:
            file.truncate(ground.dice.randint(log_size[0], log.stat().st_size))
    held = ground.held()
    demand(set(acknowledged) <= set(held), f"lost: {set(acknowledged) - set(held)}")
    ground.in_order()
    return {"acknowledged": len(acknowledged)}


def torn(ground):
    return killed(ground, tear=True)


def disk_full(ground):
    """The disk has no more room at some point of an import: all of it is in the book, or nothing."""
    before = ground.held()
    loss = round(ground.dice.uniform(0.1, 0.9), 6)
    file = ground.file("full.csv", range(STRANDS), loss)
    done = ground.run("book", "add", ground.book, "--readings", file, limit=int(4096 * 100 ** ground.dice.random()))
    after = ground.held()
    ground.in_order()
    if done.returncode == 0:
        # Of readings typed twice the greater loss counts, so none may lie below this one.
        demand(all(value[0] >= loss for value in after.values()) and len(after) == STRANDS, "half an import")
        return {"went in whole": 1}
    demand(after == before, "a refused import left something behind")
    return {"refused whole": 1}


def bits_flipped(ground):
    """Bytes of the file go bad: it is noticed or harmless, and what is in order comes over into a new book."""
    hurt = ground.folder / "hurt.book"
    if not ground.held():
        ground.run("book", "add", ground.book, "--readings", ground.file("whole.csv", range(STRANDS)))
    for old in ground.folder.glob("hurt.book*"):
        old.unlink()
    ground.run("book", "backup", ground.book, "--to", ground.folder / "b.carry")
    ground.run("book", "restore", ground.folder / "b.carry", "--to", hurt)
    (ground.folder / "b.carry").unlink()
    was = ground.held(hurt)
    content = bytearray(hurt.read_bytes())
    for _ in range(ground.dice.choice((1, 1, 1, 2, 4, 64))):
        content[ground.dice.randrange(len(content))] ^= 1 << ground.dice.randrange(8)
    hurt.write_bytes(content)
    found = ground.run("book", "verify", hurt)
    if found.returncode == 0:
        demand(ground.held(hurt) == was, "damage that nobody noticed")
        return {"harmless": 1}
    demand(len(found.stdout + found.stderr) > 40, "damage without words")
    rest = ground.folder / "rest.book"
    for old in ground.folder.glob("rest.book*"):
        old.unlink()
    ground.run("book", "create", rest, "--name", "Rest", device="b")
    merged = ground.run("book", "merge", rest, hurt, device="b")
    ground.run("book", "verify", rest)
    saved = len(ground.held(rest)) if merged.returncode in (0, 1) else 0
    return {"noticed": 1, "read over in part or whole": int(merged.returncode in (0, 1)), "readings there": len(was), "readings saved": saved}


def clock_skewed(ground):
    """Clocks that jump by days, forward and back, between one write and the next."""
    strands = ground.some(6)
    for number, strand in enumerate(strands):
        shift = f"{ground.dice.randint(-40, 40):+d}d"
        done = ground.run("book", "add", ground.book, "--readings", ground.file(f"clock{number}.csv", [strand], round(ground.dice.uniform(0.1, 0.9), 6)),
                          device=ground.dice.choice("ab"), LD_PRELOAD=str(fake_clock), FAKETIME=shift)
        demand(done.returncode == 0, done.stderr)
    held = ground.held()
    demand({f"{s:04d}" for s in strands} <= set(held), "a reading under a skewed clock is not there")
    ground.in_order()
    return {"writes": len(strands)}


def two_programs(ground):
    """Two programs write into one book at once, a third reads."""
    files = [ground.file(f"two{i}.csv", ground.some(20), round(ground.dice.uniform(0.1, 0.9), 6)) for i in range(2)]
    results = []

    def add(i):
        results.append(ground.run("book", "add", ground.book, "--readings", files[i], device="ab"[i]))
    threads = [threading.Thread(target=add, args=(i,)) for i in range(2)]
    for thread in threads:
        thread.start()
    ground.held()
    for thread in threads:
        thread.join()
    demand(all(done.returncode == 0 for done in results), [done.stderr for done in results])
    wanted = {line.split(",")[1] for file in files for line in file.read_text().splitlines()[1:]}
    demand(wanted <= set(ground.held()), "a write beside another one is not there")
    ground.in_order()
    return {"writes": 2}


def network_dropped(ground):
    """The connection breaks at any byte of request or answer; the screen sends the entry again until it is answered."""
    server, port = ground.serve()
    try:
        before = ground.held()
        strands = [s for s in ground.some(12) if f"{s:04d}" not in before]
        for strand in strands:
            content = body(strand, str(uuid.uuid4()))
            head = (f"POST /api/v1/jobs/job/readings HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nContent-Type: application/json\r\n"
                    f"Content-Length: {len(content)}\r\n\r\n").encode()
            for _ in range(ground.dice.randint(1, 3)):
                with socket.create_connection(("127.0.0.1", port), timeout=10) as line:
                    whole = head + content
                    line.sendall(whole[:ground.dice.choice((ground.dice.randrange(len(whole)), len(whole)))])
                    if ground.dice.random() < 0.5:
                        time.sleep(ground.dice.uniform(0, 0.01))
            post(port, content)
        held = ground.held()
        for strand in strands:
            demand(held.get(f"{strand:04d}") == (0.4, 0), f"strand {strand}: {held.get(f'{strand:04d}')}")
        return {"entries": len(strands)}
    finally:
        server.send_signal(signal.SIGTERM)
        server.wait(timeout=30)
        server.stdout.close()


FAULTS = {"program killed": (killed, 400), "killed and torn": (torn, 400), "disk full": (disk_full, 400), "bytes gone bad": (bits_flipped, 400),
          "clocks skewed": (clock_skewed, 200), "two programs at once": (two_programs, 200), "network dropped": (network_dropped, 300)}


def main(seed, share):
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    failures = 0
    print("| fault | rounds | broken | what came of it |\n|---|---|---|---|", flush=True)
    for name, (fault, rounds) in FAULTS.items():
        if fault is clock_skewed and fake_clock is None:
            print(f"| {name} | 0 | | needs Debian's `faketime` |")
            continue
        counts, broken = collections.Counter(), []
        rounds = max(1, int(rounds * share))
        for number in range(rounds):
            dice = random.Random(f"{seed} {name} {number}")
            if number % 25 == 0:  # a book that grows slows nothing down, and a fresh one has other pages
                if number:
                    ground.close()
                ground = Ground(dice)
            ground.dice = dice
            try:
                counts.update(fault(ground))
            except (Broken, subprocess.TimeoutExpired) as trouble:
                broken.append(f"{name} round {number}: {trouble}")
        ground.close()
        print(f"| {name} | {rounds} | {len(broken)} | {', '.join(f'{key}: {value}' for key, value in counts.items())} |", flush=True)
        for each in broken[:5]:
            print(each, file=sys.stderr)
        failures += len(broken)
    print(f"faults seed={seed} broken={failures}")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], float(sys.argv[2]) if len(sys.argv) > 2 else 1))
