"""A running `strandbook serve` and a client that holds every answer against docs/openapi.json."""

import http.client
import json
import os
import re
import signal
import socket
import subprocess
import threading
import time
import urllib.parse
import uuid

import jsonschema

from support import Scenario, program, root

api = json.loads((root / "docs/openapi.json").read_text())
answered = set()  # (path of the document, method): what some test has seen answered


def schema_of(ref):
    return {**ref, "components": api["components"]}


def route_of(method, path):
    """The path of the document that a request goes to; literal parts before braces."""
    def matches(pattern):
        return re.fullmatch(re.sub(r"\\{\w+\\}", "[^/]+", re.escape(pattern)), path)
    found = sorted((p for p in api["paths"] if matches(p)), key=lambda p: p.count("{"))
    return found[0] if found and method.lower() in api["paths"][found[0]] else None


def check_answer(method, path, status, content_type, body):
    """Every JSON answer must be what the document says for its status."""
    route = route_of(method, path)
    if route is None:
        return
    operation = api["paths"][route][method.lower()]
    response = operation["responses"].get(str(status), operation["responses"]["default"])
    if status < 400:
        assert str(status) in operation["responses"], f"{method} {route}: {status} is not documented"
        answered.add((route, method.lower()))
    content = response.get("content", {})
    if not content:
        return
    assert content_type in content, content_type
    schema = content[content_type].get("schema", {})
    if content_type != "application/json" or schema.get("format") == "binary":
        return
    jsonschema.Draft202012Validator(schema_of(schema)).validate(json.loads(body))


class Answer:
    def __init__(self, status, headers, body):
        self.status, self.headers, self.body = status, headers, body

    @property
    def json(self):
        return json.loads(self.body)


class Client:
    """Keeps one connection, as a browser does."""

    def __init__(self, port, context=None):
        self.port = port
        self.connection = (http.client.HTTPSConnection("127.0.0.1", port, timeout=30, context=context) if context
                           else http.client.HTTPConnection("127.0.0.1", port, timeout=30))

    always = {}

    def request(self, method, path, body=None, headers=None):
        headers = {**self.always, **(headers or {})}
        if body is not None and not isinstance(body, (bytes, str)):
            body = json.dumps(body)
        self.connection.request(method, path, body=body, headers=headers)
        response = self.connection.getresponse()
        answer = Answer(response.status, response.headers, response.read())
        if method != "HEAD":
            check_answer(method, path.split("?")[0], answer.status, response.headers.get("Content-Type"), answer.body)
        return answer

    def get(self, path, **headers):
        return self.request("GET", path, headers=headers)

    def post(self, path, body=None):
        return self.request("POST", path, body)

    def close(self):
        self.connection.close()


class Events:
    """Listens to a job's events on a thread of its own."""

    def __init__(self, port, job):
        self.seen = []
        self.arrived = threading.Condition()
        self.socket = socket.create_connection(("127.0.0.1", port), timeout=30)
        path = f"/api/v1/jobs/{urllib.parse.quote(job)}/events"
        self.socket.sendall(f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\n\r\n".encode())
        answered.add((route_of("GET", path), "get"))
        self.file = self.socket.makefile("r", encoding="utf-8", newline="\n")
        assert "200" in self.file.readline()
        while self.file.readline().strip():
            pass
        self.file.readline()  # the opening comment: from here on nothing is missed
        threading.Thread(target=self.listen, daemon=True).start()

    def listen(self):
        name = None
        try:
            for line in self.file:
                if line.startswith("event: "):
                    name = line[7:].strip()
                elif line.startswith("data: "):
                    data = json.loads(line[6:])
                    schema = {"change": "ChangeEvent", "task": "TaskEvent"}[name]
                    jsonschema.validate(data, schema_of({"$ref": f"#/components/schemas/{schema}"}))
                    with self.arrived:
                        self.seen.append((name, data))
                        self.arrived.notify_all()
        except (OSError, ValueError):
            pass

    def wait_for(self, wanted, seconds=5):
        with self.arrived:
            assert self.arrived.wait_for(lambda: any(wanted(*each) for each in self.seen), seconds), self.seen
            return next(data for name, data in self.seen if wanted(name, data))

    def close(self):
        try:
            self.socket.shutdown(socket.SHUT_RDWR)
        except OSError:
            pass  # the server was faster
        self.file.close()
        self.socket.close()


class Served(Scenario):
    """One folder of books, one server."""

    arguments = ()

    def setUp(self):
        super().setUp()
        os.environ.update(STRANDBOOK_DEVICE=str(self.folder / "device"), STRANDBOOK_INSTRUMENTS=str(self.folder / "meters.json"),
                          XDG_STATE_HOME=str(self.folder / "state"), STRANDBOOK_WEB=str(self.folder / "web"))
        self.books = self.folder / "books"
        self.books.mkdir()
        (self.folder / "web").mkdir()
        (self.folder / "web/index.html").write_text("<!doctype html><title>screens</title>")
        (self.folder / "web/app-0a1B2c3D.js").write_text("let it;")
        self.server = None
        self.make_books()
        self.start()
        self.addCleanup(self.kill)

    def make_books(self):
        self.book = self.books / "hall.book"
        self.assertEqual(self.run_program("book", "create", self.book, "--name", "Hall").returncode, 0)
        schedule = self.file("s.csv", "link,strand,building,limit_db,wavelengths,directions\n" +
                             "".join(f"L{link},{strand:02},North,1.0,1310;1550,both\n" for link in "AB" for strand in range(1, 13)))
        self.assertEqual(self.run_program("book", "add", self.book, "--schedule", schedule).returncode, 0)
        self.assertEqual(self.run_program("book", "rule", self.book, "--guard", "none", "--person", "R.", "--reason", "spec").returncode, 0)

    def start(self):
        self.server = subprocess.Popen([program, "serve", self.books, "--port", "0", *self.arguments], stdout=subprocess.PIPE,
                                       text=True, cwd=self.folder)
        self.printed = []
        for line in self.server.stdout:
            self.printed.append(line)
            if line.startswith("strandbook serves at"):
                break
        self.port = int(re.search(r":(\d+)/", self.printed[-1]).group(1))
        self.client = Client(self.port) if "--share" not in self.arguments else None

    def kill(self, how=signal.SIGKILL):
        if self.server and self.server.poll() is None:
            self.server.send_signal(how)
            self.server.wait(timeout=20)
        if self.server:
            self.server.stdout.close()
        if self.client:
            self.client.close()

    def restart(self, how=signal.SIGTERM):
        self.kill(how)
        self.start()

    def once(self, path, body):
        """Posts on a connection of its own."""
        client = Client(self.port)
        try:
            return client.post(path, body)
        finally:
            client.close()

    def path(self, rest="", job="hall"):
        return f"/api/v1/jobs/{urllib.parse.quote(job, safe='')}{rest}"

    def reading(self, **more):
        body = {"entry": str(uuid.uuid4()), "link": "LA", "strand": "01", "wavelength_nm": 1310, "direction": "AB", "loss_db": 0.4,
                "time": "2026-04-05T13:12:00.250Z", "operator": "K."}
        body.update(more)
        return {key: value for key, value in body.items() if value is not None}

    def ok(self, answer, status=200):
        self.assertEqual(answer.status, status, answer.body[:1000])
        return answer.json if answer.body else None

    def wait_until(self, look, seconds=20):
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            found = look()
            if found:
                return found
            time.sleep(0.02)
        self.fail("waited in vain")

    def judged(self, strand="01", nm=1310, direction="AB", link="LA"):
        view = self.ok(self.client.get(self.path(f"/strand?link={link}&strand={strand}")))
        return next(t for t in view["tests"] if t["wavelength_nm"] == nm and t["direction"] == direction)
