// Keeps the sheets (or cases) that were opened on this phone, each as it was last read, with its styles
// and scripts, and nothing else. It rules over the folder it was fetched from, and keeps apart by it.
// The desk is asked first, always: a sheet that was withdrawn goes away at the next contact.
"use strict";

const FOLDER = new URL("./", self.location.href).pathname; // /s/ or /c/
const STORE = FOLDER === "/s/" ? "balewright-shared-1" : "balewright-case-1";
const OVER = `${FOLDER}over`; // no token has this form, so the desk answers with its plain page
const WAIT_MS = 4000;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("message", (event) => {
  const path = event.data && event.data.keep;
  if (!isSheet(path)) return;
  event.waitUntil(
    keepNow(path, event.data.asRead || "").then(
      (isKept) => event.source && event.source.postMessage({ kept: isKept }),
      () => {},
    ),
  );
});

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== self.location.origin) return;
  if (isSheet(url.pathname) && event.request.mode === "navigate") event.respondWith(openSheet(event, url));
  else if (url.pathname.startsWith("/static/")) event.respondWith(openPart(event.request));
});

function isSheet(path) {
  return typeof path === "string" && path.startsWith(FOLDER) && /^[\w-]{20,}$/.test(path.slice(FOLDER.length));
}

// Whoever does not answer in time counts as out of reach, but only where there is something kept.
async function ask(request, hasKept) {
  if (!hasKept) return fetch(request);
  const ending = new AbortController();
  const clock = setTimeout(() => ending.abort(), WAIT_MS);
  try {
    return await fetch(request, { signal: ending.signal });
  } finally {
    clearTimeout(clock);
  }
}

async function openSheet(event, url) {
  const path = url.pathname;
  const store = await caches.open(STORE);
  const kept = await store.match(path);
  let answer;
  try {
    answer = await ask(event.request, Boolean(kept));
  } catch (error) {
    if (kept) return showKept(store, path, kept);
    throw error;
  }
  const isAsRead = !url.searchParams.has("sent"); // a page that says "arrived" says it once
  if (answer.ok && isAsRead) event.waitUntil(keep(store, path, answer.clone()).catch(() => {}));
  else if (answer.status === 404) await forget(store, path);
  else if (!answer.ok && kept) return showKept(store, path, kept); // a desk in trouble says nothing of the sheet
  return answer;
}

async function openPart(request) {
  const store = await caches.open(STORE);
  const kept = await store.match(request.url);
  try {
    const answer = await ask(request, Boolean(kept));
    return answer.ok || !kept ? answer : kept;
  } catch (error) {
    if (kept) return kept;
    throw error;
  }
}

async function showKept(store, path, kept) {
  const until = Date.parse(kept.headers.get("X-Valid-Until"));
  if (!(Date.now() < until)) {
    const over = await store.match(OVER);
    await forget(store, path);
    return over || Response.error();
  }
  const text = await kept.text();
  const shown = text.replace('data-from="desk"', `data-from="kept" data-kept-at="${kept.headers.get("X-Kept-At")}"`);
  return new Response(shown, { headers: kept.headers });
}

async function keepNow(path, asRead) {
  const answer = await fetch(path + asRead, { headers: { "X-Balewright-Keep": "1" }, cache: "no-store" });
  const store = await caches.open(STORE);
  if (answer.ok) await keep(store, path, answer);
  else if (answer.status === 404) await forget(store, path);
  return answer.ok;
}

// The page last: once it is there, all it needs is there.
async function keep(store, path, answer) {
  const text = await answer.text();
  const parts = partsOf(text);
  for (const part of parts) if (!(await store.match(part))) await store.add(part);
  if (!(await store.match(OVER))) {
    const over = await fetch(OVER, { headers: { "X-Balewright-Keep": "1" } });
    if (over.status === 404) await store.put(OVER, new Response(await over.text(), { headers: headersOf(over) }));
  }
  const headers = headersOf(answer);
  headers.set("X-Kept-At", new Date().toISOString());
  await store.put(path, new Response(text, { headers }));
  await tidy(store);
}

function headersOf(answer) {
  const headers = new Headers(answer.headers);
  for (const name of ["Content-Encoding", "Content-Length"]) headers.delete(name); // the text is unpacked
  return headers;
}

function partsOf(text) {
  const found = [...text.matchAll(/(?:href|src)="(\/static\/[^"]+)"/g)].map((match) => match[1]);
  return [...new Set(found)];
}

async function forget(store, path) {
  await store.delete(path);
  await tidy(store);
}

// Styles and scripts of an older desk, and those of sheets that are gone, go too.
async function tidy(store) {
  const paths = (await store.keys()).map((request) => new URL(request.url).pathname);
  const sheets = paths.filter(isSheet);
  if (!sheets.length) {
    await caches.delete(STORE);
    return;
  }
  const needed = new Set([OVER, ...sheets]);
  for (const sheet of sheets) for (const part of partsOf(await (await store.match(sheet)).text())) needed.add(part);
  for (const path of paths) if (!needed.has(path)) await store.delete(path);
}
