// node service_load.mjs PORT SECONDS READS_PER_SECOND WRITERS STREAMS TARGETS.json
// Idle event streams, people who write twice a second, and small reads at a fixed rate. Latency counts from the
// moment a read was due, so that a stall shows in every read it delayed. Prints JSON.
import { readFileSync } from 'node:fs';
import net from 'node:net';

const [port, seconds, rate, writers, streams] = process.argv.slice(2, 7).map(Number);
const targets = JSON.parse(readFileSync(process.argv[7]));
const host = `Host: 127.0.0.1:${port}\r\n`;
const get = (path) => `GET ${path} HTTP/1.1\r\n${host}\r\n`;
const post = (path, body) =>
  `POST ${path} HTTP/1.1\r\n${host}Content-Length: ${Buffer.byteLength(body)}\r\n\r\n${body}`;
const request = (target) => (target.body ? post(target.path, JSON.stringify(target.body)) : get(target.path));
const wrong = [];

/** One keep-alive connection that sends what waits, one after the other. */
class Line {
  constructor() {
    this.waiting = [];
    this.bytes = Buffer.alloc(0);
    this.socket = net.connect(port, '127.0.0.1');
    this.socket.setNoDelay(true);
    this.socket.on('data', (part) => this.take(part));
    this.socket.on('error', (error) => wrong.push(String(error)));
  }
  send(text, done) {
    this.waiting.push({ text, done });
    if (this.waiting.length === 1) this.socket.write(text);
  }
  take(part) {
    this.bytes = this.bytes.length ? Buffer.concat([this.bytes, part]) : part;
    const end = this.bytes.indexOf('\r\n\r\n');
    if (end < 0) return;
    const head = this.bytes.toString('latin1', 0, end);
    const length = Number(/content-length: (\d+)/i.exec(head)[1]);
    if (this.bytes.length < end + 4 + length) return;
    if (!head.startsWith('HTTP/1.1 200')) wrong.push(head.slice(0, 40));
    this.bytes = this.bytes.subarray(end + 4 + length);
    const { done } = this.waiting.shift();
    if (this.waiting.length) this.socket.write(this.waiting[0].text);
    done();
  }
}

let events = 0;
for (let i = 0; i < streams; ++i) {
  const stream = net.connect(port, '127.0.0.1');
  stream.on('data', (part) => { if (part.includes('event: change')) ++events; });
  stream.on('error', (error) => wrong.push(String(error)));
  stream.write(get(targets.events));
}
const lines = Array.from({ length: 16 }, () => new Line());
const late = [];
const writes = [];
let stopped = false;

for (let i = 0; i < writers; ++i) {
  const line = new Line();
  const write = () => {
    if (stopped) return;
    const began = performance.now();
    const choice = targets.strands[Math.floor(Math.random() * targets.strands.length)];
    const body = { ...targets.write.body, ...choice, entry: crypto.randomUUID(), time: new Date().toISOString() };
    line.send(post(targets.write.path, JSON.stringify(body)), () => {
      writes.push(performance.now() - began);
      setTimeout(write, 500 - (performance.now() - began));
    });
  };
  setTimeout(write, Math.random() * 500);
}

const quantile = (list, q) => list.sort((a, b) => a - b)[Math.floor(q * (list.length - 1))] ?? 0;
await new Promise((resolve) => setTimeout(resolve, 1000));
const start = performance.now();
let sent = 0;
const timer = setInterval(() => {
  const due = Math.floor(((performance.now() - start) / 1000) * rate);
  for (; sent < due; ++sent) {
    const planned = start + (sent / rate) * 1000;
    lines[sent % lines.length].send(request(targets.reads[sent % targets.reads.length]),
      () => late.push(performance.now() - planned));
  }
}, 1);
await new Promise((resolve) => setTimeout(resolve, seconds * 1000));
clearInterval(timer);
stopped = true;
await new Promise((resolve) => setTimeout(resolve, 1000));
console.log(JSON.stringify({
  reads: late.length, per_second: Math.round(late.length / seconds), p50_ms: quantile(late, 0.5), p99_ms: quantile(late, 0.99),
  worst_ms: quantile(late, 1), writes: writes.length, write_p99_ms: quantile(writes, 0.99), events, wrong: wrong.slice(0, 3), wrongs: wrong.length,
}));
process.exit(0);
