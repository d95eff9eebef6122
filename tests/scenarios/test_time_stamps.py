"""Time stamps over a book's chains, by an authority of our own that the openssl program plays."""

import hashlib
import json
import sqlite3
import subprocess

from support import Crews


class TimeStamps(Crews):
    # SOURCE: RFC 3161, as the openssl program implements both sides.

    def openssl(self, *arguments):
        done = subprocess.run(["openssl", *map(str, arguments)], capture_output=True, text=True, cwd=self.folder, check=False)
        self.assertEqual(done.returncode, 0, done.stderr)

    def authority(self, name):
        self.file(f"{name}.cnf", f"""
[req]
distinguished_name = dn
prompt = no
[dn]
CN = {name}
[root]
basicConstraints = critical, CA:TRUE
[stamps]
extendedKeyUsage = critical, timeStamping
[tsa]
default_tsa = here
[here]
serial = {self.folder}/{name}.serial
default_policy = 1.2.3.4.1
digests = sha256
signer_digest = sha256
""")
        self.openssl("req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes", "-keyout", f"{name}-root.key",
                     "-out", f"{name}-root.pem", "-subj", f"/CN={name} root", "-config", f"{name}.cnf", "-extensions", "root")
        self.openssl("req", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes", "-keyout", f"{name}.key", "-out", f"{name}.csr",
                     "-subj", f"/CN={name}", "-config", f"{name}.cnf")
        self.openssl("x509", "-req", "-in", f"{name}.csr", "-CA", f"{name}-root.pem", "-CAkey", f"{name}-root.key", "-set_serial", "2",
                     "-out", f"{name}.pem", "-extfile", f"{name}.cnf", "-extensions", "stamps")

    def answer(self, name, request, out):
        self.openssl("ts", "-reply", "-config", f"{name}.cnf", "-queryfile", request, "-signer", f"{name}.pem", "-inkey", f"{name}.key",
                     "-chain", f"{name}-root.pem", "-out", out)
        return self.folder / out

    def setUp(self):
        super().setUp()
        self.as_device("a")
        self.book = self.folder / "hall.book"
        self.book_do("create", self.book, "--name", "Hall")
        self.authority("notary")
        self.request = self.folder / "q.tsq"
        self.book_do("stamp", self.book, "--request", self.request)
        self.ends = self.folder / "q.tsq.ends"

    def test_a_stamp_is_kept_travels_and_is_verified(self):
        self.openssl("ts", "-query", "-in", self.request, "-text")
        told = self.book_do("stamp", self.book, "--answer", self.answer("notary", self.request, "a.tsr"), "--ends", self.ends)
        self.assertIn("CN=notary", told)
        found = self.book_do("verify", self.book)
        self.assertIn("stamped", found)
        self.assertIn("--trust", found)
        self.assertIn("leads to a root", self.book_do("verify", self.book, "--trust", self.folder / "notary-root.pem"))
        self.authority("stranger")
        self.assertIn("no root", self.book_do("verify", self.book, "--trust", self.folder / "stranger-root.pem", status=1))
        # It goes along in a carry-file, and holds there.
        self.as_device("b")
        office = self.folder / "office.book"
        self.book_do("create", office, "--name", "Hall")
        self.book_do("carry", self.book, "--to", self.folder / "all.carry")
        self.book_do("merge", office, self.folder / "all.carry")
        self.assertIn("stamped", self.book_do("verify", office))

    def test_what_the_plain_openssl_program_says_of_a_kept_token(self):
        self.book_do("stamp", self.book, "--answer", self.answer("notary", self.request, "a.tsr"), "--ends", self.ends)
        with sqlite3.connect(self.book) as book:
            body = json.loads(book.execute("select body from facts where kind = 'time stamp'").fetchone()[0])
            files = {hashlib.sha256(row[0]).hexdigest(): row[0] for row in book.execute("select bytes from files")}
        self.file("token.der", files[body["token"]])
        self.file("ends.txt", files[body["ends"]])
        self.openssl("ts", "-verify", "-data", "ends.txt", "-in", "token.der", "-token_in", "-CAfile", "notary-root.pem")

    def test_a_book_cut_back_behind_its_stamp_is_found_out(self):
        self.book_do("add", self.book, "--schedule", self.file("s.csv", "link,strand\nA,1\n"))
        self.book_do("stamp", self.book, "--request", self.folder / "late.tsq")
        late = self.answer("notary", "late.tsq", "late.tsr")
        self.as_device("b")  # a second device on the same book brings the answer in
        self.book_do("stamp", self.book, "--answer", late, "--ends", self.folder / "late.tsq.ends")
        self.book_do("verify", self.book)
        with sqlite3.connect(self.book) as book:
            for trigger, in book.execute("select name from sqlite_master where type = 'trigger'").fetchall():
                book.execute(f"drop trigger {trigger}")
            first = book.execute("select device from facts where kind = 'job'").fetchone()[0]
            signed = [row[0] for row in book.execute("select sequence from heads where device = ? order by sequence", (first,))]
            book.execute("delete from facts where device = ? and sequence > ?", (first, signed[0]))
            book.execute("delete from heads where device = ? and sequence > ?", (first, signed[0]))
        self.assertIn("cut back", self.book_do("verify", self.book, status=1).replace("\n      ", " "))
        # Nor does a stamp go into a book that does not hold what it speaks of.
        other = self.folder / "other.book"
        self.as_device("c")
        self.book_do("create", other, "--name", "Other")
        self.refused("book", "stamp", other, "--answer", late, "--ends", self.folder / "late.tsq.ends")

    def test_answers_that_are_none_are_refused_and_nothing_is_kept(self):
        before = self.book_do("verify", self.book)
        good = self.answer("notary", self.request, "a.tsr")
        self.book_do("add", self.book, "--schedule", self.file("s.csv", "link,strand\nA,1\n"))
        self.book_do("stamp", self.book, "--request", self.folder / "other.tsq")
        damaged = bytearray(good.read_bytes())
        damaged[-5] ^= 1
        refused = self.file("refused.tsr", bytes.fromhex("30053003020102"))  # status: rejection
        for answer, ends in ((self.file("n.tsr", "nonsense"), self.ends), (good, self.folder / "other.tsq.ends"),
                             (self.file("d.tsr", bytes(damaged)), self.ends), (refused, self.ends), (self.file("e.tsr", ""), self.ends)):
            words = self.refused("book", "stamp", self.book, "--answer", answer, "--ends", ends)
            self.assertIn("RFC 3161", words)
        self.assertNotIn("stamped", self.book_do("verify", self.book))
        self.assertIn("in order", before)
        self.refused("book", "stamp", self.book)
