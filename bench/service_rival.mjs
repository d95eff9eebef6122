// A general-purpose server for the same load: answers of the same size from memory, streams kept open, no writing.
import { readFileSync } from 'node:fs';
import http from 'node:http';

const answers = JSON.parse(readFileSync(process.argv[2]));
const server = http.createServer((request, response) => {
  if (request.url.endsWith('/events')) {
    response.writeHead(200, { 'Content-Type': 'text/event-stream' });
    response.write(': here\n\n');
    return;
  }
  request.resume();
  request.on('end', () => {
    const text = answers[request.url] ?? '{}';
    response.writeHead(200, { 'Content-Type': 'application/json', 'Content-Length': Buffer.byteLength(text) });
    response.end(text);
  });
});
server.listen(0, '127.0.0.1', () => console.log(server.address().port));
