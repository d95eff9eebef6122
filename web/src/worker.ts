// Keeps the application itself at hand where there is no network, and the last answers about a job.
declare const SHELL: string[];
declare const VERSION: string;
const scope = self as unknown as ServiceWorkerGlobalScope;
const shell = `shell-${VERSION}`;
const answers = "answers";

scope.addEventListener("install", (event) => {
  event.waitUntil(caches.open(shell).then((cache) => cache.addAll(SHELL)).then(() => scope.skipWaiting()));
});

scope.addEventListener("activate", (event) => {
  const settle = async () => {
    for (const name of await caches.keys()) if (name !== shell && name !== answers) await caches.delete(name);
    await scope.clients.claim();
  };
  event.waitUntil(settle());
});

async function freshElseKept(request: Request): Promise<Response> {
  try {
    const response = await fetch(request);
    if (response.ok) await (await caches.open(answers)).put(request, response.clone());
    return response;
  } catch (failure) {
    const kept = (await caches.match(request)) ?? (await caches.match(request, { ignoreVary: true }));  // rather another language than nothing
    if (kept) return kept;
    throw failure;
  }
}

scope.addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  const passes = request.method !== "GET" || origin !== location.origin || pathname.endsWith("/events") || pathname.startsWith("/api/v1/tasks/");
  if (passes) return;
  if (pathname.startsWith("/api/")) return event.respondWith(freshElseKept(request));
  event.respondWith(caches.match(request, { ignoreSearch: true }).then((kept) => kept ?? fetch(request)));
});
