"""What a hostile page, a broken client or a stranger on the network may not do."""

import hashlib
import json
import re
import socket
import ssl
import stat
import time
import urllib.parse

from service import Client, Served


class Safety(Served):
    def raw(self, text, seconds=5):
        with socket.create_connection(("127.0.0.1", self.port), timeout=seconds) as line:
            line.sendall(text.encode("latin-1") if isinstance(text, str) else text)
            parts = []
            try:
                while part := line.recv(65536):
                    parts.append(part)
                    if b"\r\n\r\n" in b"".join(parts):
                        break
            except TimeoutError:
                pass
            return b"".join(parts).decode("latin-1")

    def test_only_loopback_names_are_answered(self):
        self.assertEqual(self.client.get("/api/v1/about", Host=f"localhost:{self.port}").status, 200)
        for host in ("evil.example", f"evil.example:{self.port}", "127.0.0.1.evil.example", "[::2]", "", "localhost.evil.example"):
            self.assertEqual(self.client.get("/api/v1/about", Host=host).status, 403, host)
        self.assertIn("403", self.raw("GET /api/v1/about HTTP/1.0\r\n\r\n"))

    def test_what_changes_something_comes_from_our_own_pages(self):
        for headers in ({"Origin": "http://evil.example"}, {"Origin": "null"}, {"Sec-Fetch-Site": "cross-site"}, {"Sec-Fetch-Site": "same-site"},
                        {"Origin": f"http://127.0.0.1:{self.port + 1}"}):
            answer = self.client.request("POST", self.path("/readings"), self.reading(), headers)
            self.assertEqual(answer.status, 403, headers)
        own = {"Origin": f"http://127.0.0.1:{self.port}", "Sec-Fetch-Site": "same-origin"}
        self.assertEqual(self.client.request("POST", self.path("/readings"), self.reading(), own).status, 200)
        self.assertEqual(self.client.get(self.path()).json["counts"]["readings"], 1)

    def test_every_answer_is_strict(self):
        for path in ("/", "/api/v1/about", "/nothing", "/api/nothing"):
            headers = self.client.get(path).headers
            self.assertIn("default-src 'none'", headers["Content-Security-Policy"])
            self.assertNotIn("unsafe", headers["Content-Security-Policy"])
            self.assertEqual((headers["X-Content-Type-Options"], headers["Referrer-Policy"]), ("nosniff", "no-referrer"))
            self.assertIsNone(headers["Access-Control-Allow-Origin"])

    def test_files_outside_the_screens_are_out_of_reach(self):
        (self.folder / "secret.txt").write_text("secret")
        (self.folder / "web/link.txt").symlink_to(self.folder / "secret.txt")
        (self.folder / "web/folder").mkdir()
        (self.folder / "web/.hidden").write_text("secret")
        for path in ("/../secret.txt", "/%2e%2e/secret.txt", "/..%2fsecret.txt", "/folder/..%2f..%2fsecret.txt", "/link.txt", "/folder", "/folder/",
                     "/.hidden", "//etc/passwd", "/%00", "/index.html%00.js", "/..\\secret.txt", "/%zz"):
            answer = self.client.get(path)
            self.assertEqual(answer.status, 404, path)
            self.assertNotIn(b"secret", answer.body)

    def test_screens_are_served_with_type_and_validator(self):
        page = self.client.get("/")
        self.assertEqual((page.status, page.headers["Content-Type"], page.headers["Cache-Control"]), (200, "text/html; charset=utf-8", "no-cache"))
        self.assertEqual(self.client.get("/", **{"If-None-Match": page.headers["ETag"]}).status, 304)
        script = self.client.get("/app-0a1B2c3D.js")
        self.assertEqual(script.headers["Content-Type"], "text/javascript; charset=utf-8")
        self.assertIn("immutable", script.headers["Cache-Control"])
        head = self.client.request("HEAD", "/")
        self.assertEqual((head.body, head.headers["Content-Length"]), (b"", str(len(page.body))))
        (self.folder / "web/index.html.gz").write_bytes(b"packed")
        self.assertEqual(self.client.get("/", **{"Accept-Encoding": "gzip"}).body, b"packed")
        self.assertEqual(self.client.post("/", b"").status, 405)

    def test_broken_bodies_are_refused_in_words_and_nothing_is_written(self):
        deep = "[" * 100 + "]" * 100
        for body in ("", "{", "[]", "null", '"x"', "{}", deep, '{"entry": 1}', "\xff\xfe", json.dumps(self.reading(loss_db="0.4")),
                     json.dumps(self.reading(loss_db=1e9)), json.dumps(self.reading(entry="no")), json.dumps(self.reading(time="05/04/2026 1")),
                     json.dumps(self.reading(loss_db=None)), json.dumps(self.reading(power_dbm=-20)), json.dumps(self.reading(direction="up")),
                     json.dumps(self.reading(strand="x" * 5000)), json.dumps(self.reading(colour="red")), json.dumps(self.reading()).replace("0.4", "NaN")):
            answer = self.client.request("POST", self.path("/readings"), body.encode("latin-1"))
            self.assertEqual(answer.status, 400, body[:80])
            self.assertTrue(answer.json["error"]["what"])
        for path in ("/preview", "/readings/batch", "/corrections", "/withdrawals", "/references", "/cord-checks", "/splice-attempts", "/acknowledgements", "/rule", "/handover"):
            for body in (b"", b"{", b"7", b'{"person": 7}'):
                self.assertEqual(self.client.request("POST", self.path(path), body).status, 400, path)
        self.assertEqual(self.client.get(self.path()).json["counts"]["readings"], 0)

    def test_bodies_beyond_the_limit_are_refused_before_they_are_read(self):
        head = f"POST {self.path('/readings')} HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: "
        self.assertIn(" 413 ", self.raw(head + "999999999999\r\n\r\n"))
        self.assertIn(" 413 ", self.raw(head.replace("/readings", "/imports?file=a&purpose=readings") + "999999999999\r\n\r\n"))
        chunked = head.replace("Content-Length: ", "Transfer-Encoding: chunked\r\n\r\n")
        chunk = "10000\r\n" + "x" * 0x10000 + "\r\n"
        self.assertIn(" 413 ", self.raw(chunked + chunk * 17))
        self.assertIn(" 431 ", self.raw("GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nX: " + "y" * 40000 + "\r\n\r\n"))
        self.assertIn(" 400 ", self.raw("NONSENSE\r\n\r\n"))
        self.assertIn(" 400 ", self.raw("GET / HTTP/1.1\r\nHost: 127.0.0.1\r\nBad Header\r\n\r\n"))
        self.assertEqual(self.client.get("/api/v1/about").status, 200)

    def test_slow_clients_keep_nobody_waiting(self):
        slow = []
        for _ in range(100):
            line = socket.create_connection(("127.0.0.1", self.port))
            line.sendall(f"POST {self.path('/readings')} HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Length: 500\r\n\r\n{{".encode())
            slow.append(line)
        started = time.monotonic()
        self.ok(self.client.post(self.path("/readings"), self.reading()))
        self.assertLess(time.monotonic() - started, 1)
        for line in slow:
            line.close()

    def test_names_of_jobs_stay_inside_the_folder(self):
        made = self.ok(self.client.post("/api/v1/jobs", {"name": "../../etc/passwd"}), 201)["id"]
        self.assertTrue((self.books / f"{made}.book").exists())
        self.assertEqual(self.client.get("/api/v1/jobs/..%2F..%2Fsecret").status, 404)
        self.assertEqual(self.client.post("/api/v1/jobs", {"name": ""}).status, 400)

    def test_a_port_that_is_taken_and_a_path_that_is_not_there(self):
        self.assertIn("--port", self.refused("serve", self.books, "--port", self.port))
        self.assertIn("a book or a folder", self.refused("serve", self.folder / "nowhere"))


class Shared(Served):
    arguments = ("--share",)

    def device(self, code=None):
        """A browser that trusts this certificate, let in where a code is given."""
        client = Client(self.port, ssl.create_default_context(cafile=str(self.folder / "state/strandbook/certificate.pem")))
        self.addCleanup(client.close)
        if code is not None:
            joined = self.pair(client, code)
            self.assertEqual(joined.status, 303)
            client.always = {"Cookie": joined.headers["Set-Cookie"].split(";")[0]}
        return client

    def lead_code(self):
        return next(line.split()[-1] for line in self.printed if line.startswith("Code for the lead"))

    def invite(self, lead, name, role):
        answer = lead.post("/api/v1/people/invitations", {"name": name, "role": role})
        return self.ok(answer, 201)["code"]

    def pair(self, client, code):
        return client.request("POST", "/pair", urllib.parse.urlencode({"code": code}), {"Content-Type": "application/x-www-form-urlencoded"})

    def listen(self, client):
        """What a device hears of the job's events from now on."""
        context = ssl.create_default_context(cafile=str(self.folder / "state/strandbook/certificate.pem"))
        line = context.wrap_socket(socket.create_connection(("127.0.0.1", self.port), timeout=30), server_hostname="localhost")
        self.addCleanup(line.close)
        line.sendall(f"GET {self.path('/events')} HTTP/1.1\r\nHost: 127.0.0.1:{self.port}\r\nCookie: {client.always['Cookie']}\r\n\r\n".encode())
        heard = b""
        while b": strandbook" not in heard:
            heard += line.recv(4096)
        return iter(lambda: line.recv(4096), b"")

    def test_devices_join_with_a_code_over_tls(self):
        fingerprint = next(line.split()[-1] for line in self.printed if line.startswith("Certificate"))
        code = self.lead_code()
        client = self.device()
        self.assertEqual(client.get("/api/v1/jobs").status, 401)
        self.assertEqual(client.get("/", Accept="text/html").headers["Location"], "/pair")
        given = client.connection.sock.getpeercert(binary_form=True)
        self.assertEqual(hashlib.sha256(given).hexdigest().upper(), fingerprint.replace(":", ""))
        self.assertEqual(self.pair(client, "WRONG").status, 403)
        self.assertIn(b'value="AB12-CD"', client.get("/pair?code=AB12-CD").body)
        self.assertNotIn(b"script>", client.get("/pair?code=%22%3E%3Cscript%3E").body)
        joined = self.pair(client, code.lower())
        self.assertEqual(joined.status, 303)
        cookie = joined.headers["Set-Cookie"]
        for part in ("HttpOnly", "Secure", "SameSite=Strict"):
            self.assertIn(part, cookie)
        token = cookie.split(";")[0]
        self.assertEqual(client.get("/api/v1/jobs", Cookie=token).status, 200)
        self.assertEqual(client.get("/api/v1/jobs", Cookie=token[:-1] + "x").status, 401)
        self.assertEqual(self.pair(client, code).status, 403)  # works once
        for _ in range(5):
            last = self.pair(client, "NOPE")
        self.assertEqual(last.status, 429)
        for name in ("certificate-key.pem", "people.json"):
            self.assertEqual(stat.S_IMODE((self.folder / "state/strandbook" / name).stat().st_mode), 0o600)
        kept = (self.folder / "state/strandbook/people.json").read_text()
        self.assertNotIn(token.split("=")[1], kept)  # only its hash
        self.assertNotIn(code.replace("-", ""), kept)
        with self.assertRaises(OSError), socket.create_connection(("127.0.0.1", self.port), timeout=5) as plain:
            plain.sendall(b"GET / HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")
            if b"HTTP/1.1 200" not in plain.recv(1000):
                raise OSError("no plain answers")

    def test_each_role_may_what_it_says(self):
        lead = self.device(self.lead_code())
        self.assertEqual(self.ok(lead.get("/api/v1/about"))["role"], "lead")
        crew = self.device(self.invite(lead, "K. R.", "crew"))
        eyes = self.device(self.invite(lead, "Owner", "reads"))
        self.assertEqual(self.ok(crew.get("/api/v1/about"))["person"], "K. R.")
        for path in ("", "/map", "/strand?link=LA&strand=01", "/findings", "/audit", "/leftovers"):
            self.assertEqual(eyes.get(self.path(path)).status, 200, path)
        refused = eyes.post(self.path("/readings"), self.reading())
        self.assertEqual(refused.status, 403)
        self.assertIn("reads", refused.json["error"]["found"])
        self.ok(crew.post(self.path("/readings"), self.reading()))
        rule = {"guard": "U", "person": "K. R.", "reason": "because"}
        correction = {"fact": "00000000-0000-7000-8000-000000000000", "values": {"loss_db": "0.1"}, "person": "K. R.", "reason": "typo"}
        for path, body in (("/rule", rule), ("/corrections", correction), ("/withdrawals", {k: correction[k] for k in ("fact", "person", "reason")}),
                           ("/handover", {"what": "csv"})):
            self.assertEqual(crew.post(self.path(path), body).status, 403, path)
            self.assertEqual(eyes.post(self.path(path), body).status, 403, path)
        for who in (crew, eyes):
            self.assertEqual(who.get("/api/v1/people").status, 403)
            self.assertEqual(who.post("/api/v1/people/invitations", {"name": "X", "role": "lead"}).status, 403)
            self.assertEqual(who.post("/api/v1/jobs", {"name": "another"}).status, 403)
        self.assertIn(lead.post(self.path("/rule"), rule).status, (200,))
        line = next(each for each in self.ok(lead.get(self.path("/audit"))) if each["kind"] == "reading")
        self.assertTrue(line["by"].startswith("K. R. @"), line)
        self.assertTrue(next(each for each in self.ok(lead.get(self.path("/audit"))) if each["kind"] == "rule choice")["by"].startswith("lead @"))

    def test_a_lost_tablet_is_cut_off_and_a_restart_forgets_nobody(self):
        lead = self.device(self.lead_code())
        tablet = self.device(self.invite(lead, "T.", "crew"))
        people = self.ok(lead.get("/api/v1/people"))["people"]
        self.assertEqual({(p["name"], p["role"], p["me"]) for p in people}, {("lead", "lead", True), ("T.", "crew", False)})
        cookies = (lead.always, tablet.always)
        self.restart()
        lead, tablet = self.device(), self.device()
        lead.always, tablet.always = cookies
        self.assertEqual(tablet.get("/api/v1/jobs").status, 200)
        gone = next(p["id"] for p in people if p["name"] == "T.")
        listening = self.listen(tablet)
        self.assertEqual(lead.request("DELETE", f"/api/v1/people/{gone}").status, 204)
        self.assertEqual(tablet.get("/api/v1/jobs").status, 401)
        self.ok(lead.post(self.path("/readings"), self.reading()))
        self.assertEqual(b"".join(listening), b"")  # the stream ended, and told nothing of it
        self.assertEqual(lead.request("DELETE", f"/api/v1/people/{gone}").status, 404)

    def test_people_are_let_in_and_cut_off_from_the_command_line_too(self):
        said = self.run_program("people", "invite", "Night shift", "--role", "lead", "--port", self.port)
        self.assertEqual(said.returncode, 0, said.stderr)
        self.assertIn("\u2588", said.stdout)
        device = self.device(re.search(r"Code: (\S+)", said.stdout).group(1))
        self.assertEqual(self.ok(device.get("/api/v1/about"))["person"], "Night shift")
        listed = self.run_program("people", "list").stdout
        session = re.search(r"^(\w+)  Night shift \(lead\)  joined", listed, re.M).group(1)
        self.assertEqual(self.run_program("people", "cut-off", session).returncode, 0)
        self.assertEqual(device.get("/api/v1/jobs").status, 401)
        self.refused("people", "cut-off", session)
        self.refused("people", "invite", "X", "--role", "boss")

    def test_one_device_cannot_flood(self):
        lead = self.device(self.lead_code())
        answers = {lead.get("/api/v1/about").status for _ in range(600)}
        self.assertEqual(answers, {200, 429})

    def test_broken_lists_of_people_let_nobody_in(self):
        lead = self.device(self.lead_code())
        file = self.folder / "state/strandbook/people.json"
        file.write_text("{")
        self.assertEqual(lead.get("/api/v1/jobs").status, 401)
        self.assertIn("let in again", self.refused("people", "list"))


class NotShared(Served):
    def test_people_are_of_shared_books(self):
        self.assertEqual(self.client.get("/api/v1/people").status, 409)
        self.assertEqual(self.client.post("/api/v1/people/invitations", {"name": "A", "role": "crew"}).status, 409)
        self.assertEqual(self.client.request("DELETE", "/api/v1/people/1").status, 409)
        about = self.ok(self.client.get("/api/v1/about"))
        self.assertEqual((about["person"], about["role"]), (None, "lead"))
