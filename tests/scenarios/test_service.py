"""The service as screens use it: every answer is held against docs/openapi.json."""

import concurrent.futures
import gzip
import json
import os
import signal
import subprocess
import time
import uuid

from service import Events, Served, api
from support import root

campus = root / "demo-campus"


class Readings(Served):
    def test_a_reading_is_judged_kept_and_told(self):
        events = Events(self.port, "hall")
        self.addCleanup(events.close)
        preview = self.reading()
        del preview["entry"]
        self.assertEqual(self.ok(self.client.post(self.path("/preview"), preview))["test"]["outcome"], "pass")
        self.assertEqual(self.judged()["outcome"], "not tested")
        started = time.monotonic()
        kept = self.ok(self.client.post(self.path("/readings"), self.reading(loss_db=1.7)))
        self.assertEqual((kept["test"]["outcome"], kept["already"]), ("fail", False))
        self.assertEqual(kept["test"]["reading_fact"], kept["fact"])
        change = events.wait_for(lambda name, data: name == "change" and data["revision"] >= kept["revision"])
        self.assertLess(time.monotonic() - started, 1.0)
        self.assertEqual((change["strands"], change["by"], change["whole"]), ([{"index": 0, "cells": "FNNN"}], "K.", False))
        seen = self.ok(self.client.get(self.path("/map")))
        self.assertEqual([column["direction"] for column in seen["columns"]], ["AB", "BA", "AB", "BA"])
        self.assertEqual("".join(cells[0] for cells in seen["cells"]), "FNNN")
        self.assertEqual((seen["runs"], seen["people"], seen["people_of"][:2]), ([[0, 12], [1, 12]], ["K."], [0, -1]))
        recent = self.ok(self.client.get(self.path("/readings?limit=1")))
        self.assertEqual((recent["total"], recent["readings"][0]["outcome"]), (1, "fail"))

    def test_an_entry_counts_once_however_often_it_is_sent(self):
        body = self.reading()
        first = self.ok(self.client.post(self.path("/readings"), body))
        again = self.ok(self.client.post(self.path("/readings"), body))
        self.assertEqual((again["fact"], again["already"]), (first["fact"], True))
        self.restart()
        after = self.ok(self.client.post(self.path("/readings"), body))
        self.assertEqual((after["fact"], after["already"]), (first["fact"], True))
        self.assertEqual(self.ok(self.client.get(self.path()))["counts"]["readings"], 1)

    def test_the_same_entry_from_many_connections_at_once(self):
        body = self.reading()
        with concurrent.futures.ThreadPoolExecutor(8) as pool:
            kept = list(pool.map(lambda _: self.once(self.path("/readings"), body).json, range(16)))
        self.assertEqual(len({each["fact"] for each in kept}), 1)
        self.assertEqual([each["already"] for each in kept].count(False), 1)

    def test_two_people_on_one_strand_are_both_kept(self):
        with concurrent.futures.ThreadPoolExecutor(2) as pool:
            list(pool.map(lambda who: self.once(self.path("/readings"), self.reading(operator=who)), ("K.", "R.")))
        view = self.ok(self.client.get(self.path("/strand?link=LA&strand=01")))
        self.assertEqual(sum(entry["kind"] == "reading" for entry in view["history"]), 2)
        self.assertEqual(next(t for t in view["tests"] if t["loss_db"] is not None)["other_readings"], 1)

    def test_the_queue_of_a_device_that_was_offline(self):
        queue = [self.reading(strand=f"{n:02}") for n in range(1, 13)] + [self.reading(wavelength_nm=20), "nonsense"]
        results = self.ok(self.client.post(self.path("/readings/batch"), queue))
        self.assertEqual(["error" in each for each in results], [False] * 12 + [True] * 2)
        again = self.ok(self.client.post(self.path("/readings/batch"), queue))
        self.assertTrue(all(each["already"] for each in again[:12]))
        self.assertEqual(self.ok(self.client.get(self.path()))["counts"]["readings"], 12)

    def test_what_was_acknowledged_outlives_a_killed_server(self):
        acknowledged = []
        for n in range(1, 13):
            acknowledged.append(self.ok(self.client.post(self.path("/readings"), self.reading(strand=f"{n:02}")))["fact"])
        self.restart(signal.SIGKILL)
        recent = self.ok(self.client.get(self.path("/readings")))
        self.assertEqual({each["fact"] for each in recent["readings"]}, set(acknowledged))
        self.assertEqual(self.run_program("book", "verify", self.book).returncode, 0)

    def test_a_reading_is_finished_when_the_server_is_asked_to_end(self):
        with concurrent.futures.ThreadPoolExecutor(8) as pool:
            def send(_):
                try:
                    return self.once(self.path("/readings"), self.reading()).json["fact"]
                except OSError:
                    return None
            futures = [pool.submit(send, n) for n in range(60)]
            time.sleep(0.05)
            self.kill(signal.SIGTERM)
            facts = {f.result() for f in futures} - {None}
        self.assertEqual(self.server.returncode, 0)
        self.start()
        kept = {each["fact"] for each in self.ok(self.client.get(self.path("/readings?limit=500")))["readings"]}
        self.assertLessEqual(facts, kept)

    def test_no_light_is_no_level(self):
        kept = self.ok(self.client.post(self.path("/readings"), self.reading(loss_db=None, no_light=True)))
        self.assertEqual((kept["test"]["outcome"], kept["test"]["reason_code"]), ("not tested", "no_light"))

    def test_a_reading_of_an_unknown_strand_is_kept_but_counts_for_nothing(self):
        kept = self.ok(self.client.post(self.path("/readings"), self.reading(strand="99")))
        self.assertIsNone(kept["test"])
        left = self.ok(self.client.get(self.path("/leftovers")))
        self.assertEqual((left["unmatched_total"], left["unmatched"][0]["strand"]), (1, "99"))

    def test_the_history_follows_other_spellings_also_of_readings_that_came_later(self):
        look = self.path("/strand?link=LA&strand=01")
        self.assertEqual(len(self.ok(self.client.get(look))["history"]), 1)
        self.ok(self.client.post(self.path("/readings"), self.reading(link="la")))
        self.assertEqual([e["kind"] for e in self.ok(self.client.get(look))["history"]], ["strand", "reading"])
        kept = self.ok(self.client.post(self.path("/readings"), self.reading(strand="02")))
        ground = {"person": "K.", "reason": "it was strand 01"}
        self.ok(self.client.post(self.path("/corrections"), {"fact": kept["fact"], "values": {"strand": "01"}, **ground}))
        self.assertEqual([e["kind"] for e in self.ok(self.client.get(look))["history"]], ["strand", "reading", "reading", "correction"])

    def test_correct_and_withdraw_with_person_and_reason(self):
        kept = self.ok(self.client.post(self.path("/readings"), self.reading(loss_db=1.7)))
        ground = {"person": "K.", "reason": "typed wrongly"}
        self.ok(self.client.post(self.path("/corrections"), {"fact": kept["fact"], "values": {"loss_db": "0.7"}, **ground}))
        self.assertEqual(self.judged()["outcome"], "pass")
        self.assertEqual(self.client.post(self.path("/corrections"), {"fact": kept["fact"], "values": {"colour": "red"}, **ground}).status, 409)
        self.assertEqual(self.client.post(self.path("/withdrawals"), {"fact": kept["fact"], "person": "K."}).status, 400)
        self.ok(self.client.post(self.path("/withdrawals"), {"fact": kept["fact"], **ground}))
        self.assertEqual(self.judged()["outcome"], "not tested")
        history = self.ok(self.client.get(self.path("/strand?link=LA&strand=01")))["history"]
        self.assertEqual([e["reason"] for e in history if e["kind"] == "correction"], ["typed wrongly"] * 2)


class Work(Served):
    def test_references_are_taken_closed_and_their_health_told(self):
        now = time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(time.time() - 60))
        opening = {"entry": str(uuid.uuid4()), "kind": "opening", "wavelength_nm": 1310, "power_dbm": -5.0, "method": "one-cord", "time": now,
                   "source": "S-1", "meter": "M-1", "cords": "set A", "operator": "K.", "reference": "R1"}
        first = self.ok(self.client.post(self.path("/references"), opening))
        self.assertTrue(self.ok(self.client.post(self.path("/references"), opening))["already"])
        read = self.reading(loss_db=None, power_dbm=-5.4, time=time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime()), source="S-1", meter="M-1", cords="set A")
        kept = self.ok(self.client.post(self.path("/readings"), read))
        self.assertAlmostEqual(kept["test"]["loss_db"], 0.4)
        self.assertEqual(kept["test"]["reference_fact"], first["fact"])
        held = self.ok(self.client.get(self.path("/references")))
        self.assertEqual((held["references"][0]["state"], held["references"][0]["readings"]), ("good", 1))
        closing = {**opening, "entry": str(uuid.uuid4()), "kind": "closing_check", "power_dbm": -6.5, "time": read["time"]}
        self.ok(self.client.post(self.path("/references"), closing))
        states = {r["kind"]: (r["state"], r["change_db"]) for r in self.ok(self.client.get(self.path("/references")))["references"]}
        self.assertEqual(states["opening"], ("changed", -1.5))

    def test_crews_bring_their_facts_together_over_the_network(self):
        self.ok(self.client.post(self.path("/readings"), self.reading(strand="01")))
        other = self.folder / "other.book"
        os.environ["STRANDBOOK_DEVICE"] = str(self.folder / "device-other")
        self.assertEqual(self.run_program("book", "create", other, "--name", "Hall").returncode, 0)
        day = self.file("day.csv", "link,strand,wavelength_nm,direction,loss_db\nLA,01,1310,AB,0.5\nLA,02,1310,AB,0.6\n")
        self.assertEqual(self.run_program("book", "add", other, "--readings", day).returncode, 0)
        self.assertEqual(self.run_program("book", "carry", other, "--to", self.folder / "other.carry").returncode, 0)
        carry = (self.folder / "other.carry").read_bytes()
        got = self.ok(self.client.post(self.path("/merge"), carry))
        self.assertEqual((got["known_facts"], got["refused"]), (0, []))
        self.assertEqual(got["read_by_several"], ["LA 01"])
        self.assertEqual(self.judged("02")["loss_db"], 0.6)
        again = self.ok(self.client.post(self.path("/merge"), carry))
        self.assertEqual((again["new_facts"], again["known_facts"]), (0, got["new_facts"]))
        for broken in (b"", b"no carry-file", carry[:-20], carry[:40]):
            self.assertEqual(self.client.post(self.path("/merge"), broken).status, 400, broken[:20])
        # And back: what this book holds beyond what that one has.
        ends = self.run_program("book", "ends", other).stdout
        self.assertIn("head", self.client.get(self.path("/ends")).body.decode())
        task = self.ok(self.client.post(self.path("/carry"), {"ends": ends}), 202)["task"]
        self.wait_until(lambda: self.ok(self.client.get(f"/api/v1/tasks/{task}"))["state"] == "done")
        file = self.client.get(f"/api/v1/tasks/{task}/file")
        self.assertEqual(file.headers["Content-Type"], "application/gzip")
        (self.folder / "back.carry").write_bytes(file.body)
        self.assertEqual(self.run_program("book", "merge", other, self.folder / "back.carry").returncode, 0)
        self.assertEqual(self.run_program("book", "ends", other).stdout, self.run_program("book", "ends", self.book).stdout)
        self.assertEqual(self.client.post(self.path("/carry"), {"ends": 7}).status, 400)
        bad = self.ok(self.client.post(self.path("/carry"), {"ends": "no ends"}), 202)["task"]
        self.wait_until(lambda: self.ok(self.client.get(f"/api/v1/tasks/{bad}"))["state"] == "failed")

    def test_cord_checks_both_ways_round(self):
        check = {"entry": str(uuid.uuid4()), "cords": "set A", "wavelength_nm": 1310, "forward_db": 0.15, "reversed_db": 0.42, "allowed_db": 0.2, "person": "K."}
        kept = self.ok(self.client.post(self.path("/cord-checks"), check))
        self.assertEqual(kept["outcome"], "fail")
        self.assertIn("worse", kept["advice"])
        kept = self.ok(self.client.post(self.path("/cord-checks"), {**check, "entry": str(uuid.uuid4()), "reversed_db": 0.2}))
        self.assertEqual(kept["outcome"], "pass")
        self.assertEqual(len(self.ok(self.client.get(self.path("/references")))["cord_checks"]), 2)

    def test_a_splice_made_again_is_recorded_once_however_often_it_is_sent(self):
        strand = self.reading()
        attempt = {"entry": str(uuid.uuid4()), "link": strand["link"], "strand": strand["strand"], "at_m": 12.5, "attempt": 2, "method": "fusion", "person": "K."}
        kept = self.ok(self.client.post(self.path("/splice-attempts"), attempt))
        self.assertFalse(kept["already"])
        again = self.ok(self.client.post(self.path("/splice-attempts"), attempt))
        self.assertEqual((again["fact"], again["already"]), (kept["fact"], True))
        for changes, status, words in (({"strand": "nobody"}, 409, "a strand of the schedule"), ({"at_m": -1}, 400, "0"), ({"attempt": 2.5}, 400, "a whole number"),
                                       ({"attempt": 0}, 400, "1"), ({"method": "glue"}, 400, "fusion or mechanical"), ({"person": ""}, 400, "")):
            answer = self.client.post(self.path("/splice-attempts"), {**attempt, "entry": str(uuid.uuid4()), **changes})
            self.assertEqual(answer.status, status, changes)
            self.assertIn(words, json.dumps(answer.json), changes)
        past = self.run_program("book", "history", self.book, "--link", strand["link"], "--strand", strand["strand"]).stdout
        self.assertEqual(past.count("splice attempt: 12.5 m from A, attempt 2, fusion, by K."), 1, past)

    def test_findings_are_acknowledged_by_a_key_that_stays(self):
        for loss in (0.4, 0.5):
            self.ok(self.client.post(self.path("/readings"), self.reading(loss_db=loss)))
        finding = self.ok(self.client.get(self.path("/findings")))[0]
        self.assertEqual((finding["kind"], finding["acknowledged"]), ("repeated-readings", None))
        said = {"key": finding["key"], "person": "R.", "reason": "cleaned between"}
        self.ok(self.client.post(self.path("/acknowledgements"), said))
        self.assertEqual(self.client.post(self.path("/acknowledgements"), {**said, "key": "nothing"}).status, 409)
        self.restart()
        finding = self.ok(self.client.get(self.path("/findings")))[0]
        self.assertEqual((finding["acknowledged"]["person"], finding["acknowledged"]["reason"]), ("R.", "cleaned between"))

    def test_an_import_is_seen_mended_and_accepted(self):
        data = b"Kennung;Faser;IL\nLA;01;0,31\nLA;02;zwei\nLA;03;0,33\n"
        staged = self.ok(self.client.post(self.path("/imports?file=tag%201.csv&purpose=readings"), data), 202)["import"]
        self.assertEqual(self.ok(self.client.get(self.path()))["counts"]["readings"], 0)
        choices = {"columns": "link=Kennung; strand=Faser; loss_db=IL; wavelength_nm:=1310; direction:=AB", "loss_sign": "as-written", "date_order": "by-proof"}
        self.wait_until(lambda: self.ok(self.client.get(self.path(f"/imports/{staged}")))["state"] != "reading")
        self.ok(self.client.post(self.path(f"/imports/{staged}/choices"), choices), 202)
        look = self.wait_until(lambda: (lambda s: s["state"] == "ready" and s)(self.ok(self.client.get(self.path(f"/imports/{staged}")))))
        self.assertEqual(([c["meaning"] for c in look["columns"]], [c["letter"] for c in look["columns"]]), (["link", "strand", "loss_db"], ["A", "B", "C"]))
        self.assertEqual((look["counts"], [r["used"] for r in look["rows"]]), ({"used": 2, "unread": 1}, [True, False, True]))
        self.assertEqual(look["unread"][0]["place"]["row"], 3)
        accepted = self.ok(self.client.post(self.path(f"/imports/{staged}/accept")))
        self.assertIn("2 readings", accepted["words"])
        self.assertEqual(self.ok(self.client.get(self.path()))["summary"]["pass"], 2)
        self.assertEqual(self.client.post(self.path(f"/imports/{staged}/accept")).status, 409)

    def test_an_import_is_cancelled(self):
        staged = self.ok(self.client.post(self.path("/imports?file=a.csv&purpose=schedule"), b"link,strand\nZ,1\n"), 202)["import"]
        self.assertEqual(self.client.request("DELETE", self.path(f"/imports/{staged}")).status, 204)
        self.assertEqual(self.client.get(self.path(f"/imports/{staged}")).status, 404)
        bad = self.ok(self.client.post(self.path("/imports?file=a.bin&purpose=readings"), b"\x00\x01\x02" * 500), 202)["import"]
        self.wait_until(lambda: self.ok(self.client.get(self.path(f"/imports/{bad}")))["state"] == "failed")

    def test_what_the_command_line_brings_in_shows_by_itself(self):
        events = Events(self.port, "hall")
        self.addCleanup(events.close)
        readings = self.file("r.csv", "link,strand,wavelength_nm,direction,loss_db\nLB,12,1550,BA,0.4\n")
        self.assertEqual(self.run_program("book", "add", self.book, "--readings", readings).returncode, 0)
        change = events.wait_for(lambda name, data: data.get("summary", {}).get("pass") == 1)
        self.assertTrue(change["whole"])

    def test_a_report_is_made_told_and_fetched(self):
        events = Events(self.port, "hall")
        self.addCleanup(events.close)
        for what, head in (("pdf", b"%PDF"), ("xlsx", b"PK"), ("csv", b"link"), ("json", b"{")):
            task = self.ok(self.client.post(self.path("/handover"), {"what": what, "title": "Hall", "owner": "Owner"}), 202)["task"]
            events.wait_for(lambda name, data: name == "task" and data["task"] == task and data["state"] == "done", 30)
            self.assertEqual(self.ok(self.client.get(f"/api/v1/tasks/{task}"))["progress"], 1)
            made = self.client.get(f"/api/v1/tasks/{task}/file")
            self.assertTrue(made.body.startswith(head), made.body[:20])
            self.assertIn("attachment", made.headers["Content-Disposition"])
        self.assertEqual(self.client.request("DELETE", f"/api/v1/tasks/{task}").status, 204)
        self.assertEqual(self.client.get("/api/v1/tasks/none").status, 404)

    def test_papers_of_a_part_in_german_and_what_is_refused(self):
        parts = self.ok(self.client.get(self.path("/parts")))
        link = parts["links"][0]
        for what in ("pdf", "certificates", "labels"):
            order = {"what": what, "language": "de", "paper": "letter", "length_unit": "ft", "links": [link]}
            task = self.ok(self.client.post(self.path("/handover"), order), 202)["task"]
            self.wait_until(lambda: self.ok(self.client.get(f"/api/v1/tasks/{task}"))["state"] == "done")
            path = self.file(f"{what}.pdf", self.client.get(f"/api/v1/tasks/{task}/file").body)
            words = subprocess.run(["pdftotext", "-layout", path, "-"], capture_output=True, text=True, check=True).stdout
            self.assertIn(link, words)
            if what != "labels":
                self.assertIn("Entscheidungsregel", words)
        for order, found in (({"language": "fr"}, "fr"), ({"paper": "a3"}, "a3"), ({"owner_picture": "R0lGODlh"}, "neither PNG nor JPEG"),
                             ({"links": "one"}, "a list of texts"), ({"what": "doc"}, "doc")):
            answer = self.client.post(self.path("/handover"), {"what": "pdf", **order})
            self.assertEqual(answer.status, 400)
            self.assertIn(found, answer.body.decode())
        task = self.ok(self.client.post(self.path("/handover"), {"what": "pdf", "buildings": ["Hall 99"]}), 202)["task"]
        self.wait_until(lambda: self.ok(self.client.get(f"/api/v1/tasks/{task}"))["state"] == "failed")
        self.assertIn("Hall 99", json.dumps(self.ok(self.client.get(f"/api/v1/tasks/{task}"))))

    def large_schedule(self, strands):
        rows = (f"LX{n // 144:04},{n % 144:03},1.0,1310;1550,both\n" for n in range(strands))
        return ("link,strand,limit_db,wavelengths,directions\n" + "".join(rows)).encode()

    def test_a_large_file_is_taken_and_work_on_it_cancelled(self):
        data = self.large_schedule(60000)
        self.assertGreater(len(data), 1 << 20)
        staged = self.ok(self.client.post(self.path("/imports?file=large.csv&purpose=schedule"), data), 202)["import"]
        self.wait_until(lambda: self.ok(self.client.get(self.path(f"/imports/{staged}")))["state"] == "ready")
        self.assertIn("60000 strands", self.ok(self.client.post(self.path(f"/imports/{staged}/accept")))["words"])
        task = self.ok(self.client.post(self.path("/handover"), {"what": "pdf"}), 202)["task"]
        time.sleep(0.3)
        self.assertEqual(self.client.get(f"/api/v1/tasks/{task}/file").status, 409)
        self.assertEqual(self.client.request("DELETE", f"/api/v1/tasks/{task}").status, 204)
        started = time.monotonic()
        self.wait_until(lambda: self.ok(self.client.get(f"/api/v1/tasks/{task}"))["state"] == "cancelled")
        self.assertLess(time.monotonic() - started, 5)

    def test_rules_limits_and_the_choice_of_one(self):
        ids = [rule["id"] for rule in self.ok(self.client.get("/api/v1/rules"))]
        self.assertIn("iso-14763-3-2024", ids)
        shown = self.ok(self.client.get("/api/v1/rules/iso-14763-3-2024"))
        self.assertTrue(any(row["unit"] == "dB/km" for section in shown["sections"] for row in section["rows"]))
        self.assertEqual(json.loads(shown["text"])["id"], "iso-14763-3-2024")
        question = {"rule": "iso-14763-3-2024", "fibre": "OM4", "length_m": 100, "connections": 2, "splices": 0, "wavelength_nm": 850, "reference_method": "one-cord"}
        limit = self.ok(self.client.post("/api/v1/limit", question))
        told = self.limit("--fibre", "OM4", "--length", 100, "--connections", 2, "--wavelength", 850, "--rule", "iso-14763-3-2024", "--reference-method", "one-cord")
        self.assertEqual(limit, told)
        own = (root / "bench/assess-rule.json").read_text()
        checked = self.ok(self.client.post("/api/v1/rules/check", {"text": own}))
        wrong = self.client.post("/api/v1/rules/check", {"text": own.replace("dB", "dX", 1)})
        self.assertEqual(wrong.status, 422)
        self.assertGreater(wrong.json["error"]["place"]["row"], 0)
        choice = {"rule_text": own, "guard": "U", "wavelengths_nm": [1310], "directions": "either", "person": "R.", "reason": "owner's numbers"}
        self.ok(self.client.post(self.path("/rule"), choice))
        job = self.ok(self.client.get(self.path()))
        self.assertEqual((job["rule"]["id"], job["guard"], job["settings"]["reason"]), (checked["id"], "U", "owner's numbers"))
        self.assertEqual(self.ok(self.client.get(f"/api/v1/rules/{checked['id']}?job=hall"))["text"], own)
        self.assertIn(checked["id"], [rule["id"] for rule in self.ok(self.client.get("/api/v1/rules?job=hall"))])

    def settle(self, **choice):
        self.ok(self.client.post(self.path("/rule"), {**choice, "person": "R.", "reason": "contract"}))
        return self.ok(self.client.get(self.path()))["settings"]

    def test_what_a_choice_does_not_name_stays(self):
        self.settle(wavelengths_nm=[850], directions="either", fixed_limit_db=1.9, cord_grade="reference")
        held = self.settle(guard="U")
        self.assertEqual((held["guard"], held["wavelengths_nm"], held["directions"], held["fixed_limit_db"], held["cord_grade"]),
                         ("U", [850], "either", 1.9, "reference"))
        held = self.settle(fixed_limit_db=None, wavelengths_nm=[], guard=None)
        self.assertEqual((held["fixed_limit_db"], held["wavelengths_nm"], held["guard"]), (None, [], "none"))

    def test_an_owners_profile_is_chosen_shown_and_left(self):
        lines = self.ok(self.client.get("/api/v1/profiles"))
        self.assertEqual(len(lines), len(list((root / "rules/profiles").glob("*.json"))))
        shown = self.ok(self.client.get("/api/v1/profiles/owner:county"))
        self.assertTrue(all(row["source"] for section in shown["sections"] for row in section["rows"]))
        before = self.settle(rule="iso-14763-3-2024", reference_method="one-cord")
        held = self.settle(profile="owner:county")
        self.assertEqual((held["profile"]["id"], held["rule"], held["reference_method"]), ("owner:county", before["rule"], "one-cord"))
        self.assertEqual(self.settle(guard="U")["profile"]["id"], "owner:county")
        self.assertEqual(self.settle(profile="owner:data-centre-default")["rule"], "iso-14763-3-2024")
        self.assertIsNone(self.settle(profile=None)["profile"])
        unknown = self.client.post(self.path("/rule"), {"profile": "../../etc/passwd", "person": "R.", "reason": "x"})
        self.assertEqual(unknown.status, 422)
        self.assertIn("owner:county", unknown.json["error"]["expected"])
        self.assertEqual(self.client.get("/api/v1/profiles/owner:nobody").status, 404)

    def test_jobs_are_listed_and_begun(self):
        self.assertTrue(self.ok(self.client.get("/api/v1/about"))["can_create_jobs"])
        made = self.ok(self.client.post("/api/v1/jobs", {"name": "Süd/Turm 2"}), 201)["id"]
        self.assertEqual(sorted(job["name"] for job in self.ok(self.client.get("/api/v1/jobs"))), ["Hall", "Süd/Turm 2"])
        again = self.ok(self.client.post("/api/v1/jobs", {"name": "Süd/Turm 2"}), 201)["id"]
        self.assertNotEqual(made, again)
        self.assertEqual(self.ok(self.client.get(self.path("/map", made)))["strands"], [])
        self.assertEqual(self.ok(self.client.get("/api/v1/openapi.json")), api)

    def test_the_campus_comes_to_what_the_command_line_says(self):
        book = self.books / "campus.book"
        self.run_program("book", "create", book, "--name", "Campus")
        self.run_program("book", "add", book, "--schedule", campus / "schedule.csv", "--references", campus / "references.csv",
                         *(x for name in ("k.csv", "r.csv", "t.xlsx") for x in ("--readings", campus / f"readings-crew-{name}")))
        job = self.ok(self.client.get(self.path("", "campus")))
        self.assertIsNotNone(job["problem"])
        self.ok(self.client.post(self.path("/rule", "campus"), {"rule": "iso-14763-3-2024", "person": "R.", "reason": "contract"}))
        told = self.assess("--book", book)
        self.assertEqual(self.ok(self.client.get(self.path("", "campus")))["summary"], told["summary"])
        shown = self.ok(self.client.get(self.path("/strand?link=01T-02T.BB1&strand=17", "campus")))["tests"]
        extra = ("reason_code", "reading_fact", "reference_fact")
        kept = [t for t in told["tests"] if (t["link"], t["strand"]) == ("01T-02T.BB1", "17")]
        self.assertEqual([{k: v for k, v in t.items() if k not in extra} for t in shown], kept)
        self.ok(self.client.get(self.path("/findings", "campus")))


class Everything(Served):
    def test_every_documented_path_is_answered_and_no_other(self):
        """Runs last: the other classes have gone through the document."""
        for method, path in (("GET", "/api/v1"), ("GET", "/api/v2/about"), ("GET", self.path("/secrets")), ("GET", "/api/v1/about/more")):
            self.assertEqual(self.client.request(method, path).status, 404, path)
        self.assertEqual(self.client.post("/api/v1/about").status, 405)
        for path, item in api["paths"].items():
            for method in set(item) - {"parameters"}:
                concrete = path.replace("{job}", "hall").replace("{import}", "x").replace("{task}", "x").replace("{id}", "iso-14763-3-2024")
                if path.endswith("/events"):
                    continue
                answer = self.client.request(method.upper(), concrete, b"" if method in ("post", "put") else None)
                self.assertNotIn(answer.status, (405, 500), f"{method} {path}")
                if answer.status == 404:
                    self.assertIn("error", answer.json)

    def test_large_answers_are_packed_for_those_who_take_it(self):
        plain = self.client.get("/api/v1/rules/iso-14763-3-2024")
        packed = self.client.connection
        packed.request("GET", "/api/v1/rules/iso-14763-3-2024", headers={"Accept-Encoding": "gzip"})
        response = packed.getresponse()
        body = response.read()
        self.assertEqual(response.headers["Content-Encoding"], "gzip")
        self.assertEqual(gzip.decompress(body), plain.body)
