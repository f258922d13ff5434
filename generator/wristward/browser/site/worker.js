/* Keeps one whole version of the site in the browser and serves pages from that version alone. The first lines, written
   by the build, say which files there are and what each holds; a file that holds something else is not taken. */
"use strict";

const worker = /** @type {ServiceWorkerGlobalScope & typeof globalThis} */ (self);
const HERE = new URL(worker.registration.scope);
const PREFIX = `wristward ${HERE.pathname} `;
const NAME = PREFIX + VERSION;
/** @type {(path: string, hash: string) => string} */
const keyOf = (path, hash) => new URL(`${path}?content=${hash}`, HERE).href;

/** @param {ArrayBuffer} body */
async function digest(body) {
  const bytes = new Uint8Array(await crypto.subtle.digest("SHA-256", body));
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/* Take a file from an older version where it holds the same, else from the host; whole and as announced, or not at all. */
/** @type {(cache: Cache, older: Cache[], path: string, hash: string) => Promise<void>} */
async function take(cache, older, path, hash) {
  const key = keyOf(path, hash);
  if ((await cache.match(key)) !== undefined) return;
  for (const other of older) {
    const found = await other.match(key);
    if (found !== undefined) return cache.put(key, found);
  }
  const answer = await fetch(new URL(path, HERE), { cache: "no-cache", credentials: "same-origin" });
  if (!answer.ok) throw new Error(`${path}: ${answer.status}`);
  const body = await answer.arrayBuffer();
  if ((await digest(body)).slice(0, hash.length) !== hash) throw new Error(`${path}: of another version`);
  const type = answer.headers.get("content-type") ?? "application/octet-stream";
  return cache.put(key, new Response(body, { headers: { "content-type": type } }));
}

async function install() {
  const names = (await caches.keys()).filter((name) => name.startsWith(PREFIX) && name !== NAME);
  const older = await Promise.all(names.map((name) => caches.open(name)));
  const cache = await caches.open(NAME);
  const paths = Object.keys(FILES);
  // A few at a time: a phone's connection is shared with the page that is being read.
  const next = async () => {
    for (let path = paths.pop(); path !== undefined; path = paths.pop()) await take(cache, older, path, FILES[path]);
  };
  await Promise.all([next(), next(), next(), next()]);
}

async function clear() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith(PREFIX) && name !== NAME).map((name) => caches.delete(name)));
}

/** @type {(request: Request, path: string) => Promise<Response>} */
async function answer(request, path) {
  const cache = await caches.open(NAME);
  const kept = await cache.match(keyOf(path, FILES[path]));
  // Lost from the store: the host is asked, and only what this version holds is taken.
  if (kept !== undefined) return kept;
  await take(cache, [], path, FILES[path]).catch(() => {});
  return (await cache.match(keyOf(path, FILES[path]))) ?? fetch(request);
}

worker.addEventListener("install", (event) => event.waitUntil(install()));
worker.addEventListener("activate", (event) => event.waitUntil(clear()));
worker.addEventListener("message", (event) => event.data === "wristward: change over" && worker.skipWaiting());
worker.addEventListener("fetch", (event) => {
  const address = new URL(event.request.url);
  if (event.request.method !== "GET" || address.origin !== HERE.origin || !address.pathname.startsWith(HERE.pathname)) return;
  let path = decodeURIComponent(address.pathname.slice(HERE.pathname.length));
  if (path === "" || path.endsWith("/")) path += "index.html";
  if (Object.hasOwn(FILES, path)) event.respondWith(answer(event.request, path));
});
