// Holds pages on a phone for when there is no signal. Files whose names change with what is in
// them come from what is held; pages come from the server as long as it answers in time, and
// else as they were last. Nothing that is sent is touched: the outbox is the page's own.
// The server writes the line that names the files.
const FILES = [];
const files = "files", pages = "pages", facts = "facts";
const patience = 4000; // ms that a page that is held may take from the server
const fresh = 6 * 3600e3; // ms for which what was fetched ahead is not fetched again
const whole = { Prefer: "wait=10" }; // of a page that is held, advice that is being worked out is waited for

addEventListener("install", (e) => e.waitUntil((async () => {
  const held = await caches.open(files);
  await Promise.allSettled(FILES.map(async (f) => (await held.match(f)) ?? held.add(f))); // what fails now comes with the page that wants it
  await skipWaiting();
})()));

addEventListener("activate", (e) => e.waitUntil((async () => {
  await clients.claim();
  await renew();
})()));

// After an update the pages that are held name files of before: they are fetched anew, and
// only then do those files go.
async function renew() {
  const held = await caches.open(pages);
  for (const page of await held.keys()) {
    try {
      const answer = await fetch(page.url, { cache: "no-store", headers: whole });
      if (answer.ok && !answer.redirected) await put(page.url, answer);
      else if (answer.status < 500) await held.delete(page);
    } catch {
      return; // no signal: all stays as it is
    }
  }
  const old = await caches.open(files);
  for (const f of await old.keys()) if (!FILES.includes(new URL(f.url).pathname)) await old.delete(f);
}

// Pages that may be held: those of beds, the list of them, and where one writes in the book.
const holdable = (url) => (url.search === "" || url.searchParams.has("kept")) && /^\/(beds(\/[^/]+\/(today|did|seen|history|dates|plan(\/[^/]+)?|packet(\/[^/]+)?|aside|brief|photos|paper|log\/[^/]+))?|program(\/(events|visits|inquiries|indirect|signins|harvests|hours))?|away)?$/.test(url.pathname);
const plain = (url) => url.origin + url.pathname;

// What is held belongs to one person: with the first page of another it goes.
async function put(url, answer) {
  const who = answer.headers.get("Raftwright-Who");
  if (who === null) return;
  const kept = await caches.open(facts);
  const was = await (await kept.match("/who"))?.text();
  if (was !== undefined && was !== who) await caches.delete(pages);
  if (was !== who) await kept.put("/who", new Response(who));
  await (await caches.open(pages)).put(url, answer);
}

// forget lets all that is held of a bed go: it was removed.
async function forget(bed) {
  const held = await caches.open(pages);
  for (const page of await held.keys()) if (bed && new URL(page.url).pathname.startsWith(`/beds/${bed}/`)) await held.delete(page);
}

const coming = new Map(); // pages shown as they were held, while the server is at work on them

async function page(e, url) {
  coming.delete(plain(url));
  const held = caches.open(pages).then((c) => c.match(plain(url)));
  const asked = fetch(e.request).then(async (answer) => {
    if (answer.status === 200 && !answer.redirected && holdable(url)) {
      const copy = answer.clone();
      e.waitUntil(put(plain(url), copy).catch(() => {})); // a full phone shows the page all the same
    } else if (holdable(url) && (answer.type === "opaqueredirect" || [401, 403, 404, 410].includes(answer.status))) {
      e.waitUntil(caches.open(pages).then((c) => c.delete(plain(url)))); // signed out, or a link that was withdrawn
    }
    if (answer.status === 410) e.waitUntil(forget(url.pathname.split("/")[2]));
    return answer;
  });
  e.waitUntil(asked.catch(() => {}));
  try {
    const slow = new Promise((yes) => setTimeout(yes, patience, null));
    let answer = await Promise.race([asked, slow]);
    if (answer === null) {
      const was = await held;
      if (was) coming.set(plain(url), asked);
      answer = was ?? (await asked);
    }
    if (answer.status === 502 || answer.status === 504) answer = (await held) ?? answer; // a proxy whose server is away
    return answer;
  } catch {
    return (await held) ?? (await caches.match("/away")) ?? Response.error();
  }
}

addEventListener("fetch", (e) => {
  const url = new URL(e.request.url);
  if (e.request.method !== "GET" || url.origin !== location.origin) return;
  if (url.pathname.startsWith("/static/")) {
    e.respondWith((async () => {
      const held = await caches.open(files);
      const was = await held.match(url.pathname);
      if (was) return was;
      const answer = await fetch(e.request);
      if (answer.ok) e.waitUntil(held.put(url.pathname, answer.clone()).catch(() => {}));
      return answer;
    })());
  } else if (url.pathname.startsWith("/engine/") && !url.pathname.endsWith(".wasm")) {
    // the module itself is left to the browser, which keeps what it compiled of it; its worker
    // looks here when there is no signal
    e.respondWith(caches.match(url.pathname).then((was) => was ?? fetch(e.request)));
  } else if (e.request.mode === "navigate" || holdable(url)) {
    e.respondWith(page(e, url));
  }
});

// Fetches ahead what a person needs at their beds, one after the other.
async function hold(from) {
  const answer = await fetch(from, { cache: "no-store" });
  if (answer.status === 410) return forget(from.split("/")[2]);
  if (!answer.ok || answer.redirected) return;
  const held = await caches.open(pages);
  const said = await answer.json();
  for (const bed of said.gone ?? []) await forget(bed);
  const aside = from.replace(/held$/, "aside"); // what advice rests on: of the bed where somebody is, as it is now
  for (const path of said.pages) {
    const was = await held.match(location.origin + path);
    if (was && (path !== aside || was.headers.get("Raftwright-As") === said.as) && Date.now() - Date.parse(was.headers.get("Date")) < fresh) continue;
    const one = await fetch(path, { headers: whole });
    if (one.ok && !one.redirected) await put(location.origin + path, one);
  }
}

// Tells a page that was shown as it was held that a newer one is on its way, and then that it came, or that it did not.
async function tell(who, page) {
  const asked = coming.get(page);
  if (!asked) return;
  who.postMessage({ coming: "waits" });
  const answer = await asked.catch(() => null);
  coming.delete(page);
  who.postMessage({ coming: answer?.status === 200 && !answer.redirected ? "came" : "" });
}

addEventListener("message", (e) => {
  if (e.data.hold) e.waitUntil(hold(e.data.hold).catch(() => {}));
  if (e.data.coming) e.waitUntil(tell(e.source, e.data.coming));
});
