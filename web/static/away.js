// What a page does without signal: visits go into the outbox first, the page says how many
// wait, and what a phone cannot ask a server it works out by itself. Without this script every
// form is sent as it stands.
const told = JSON.parse(document.getElementById("away").dataset.told);
const ready = import(told.files.outbox);

// Signing out takes away what this phone holds. What waits is sent first, or given up on purpose.
addEventListener("submit", async (e) => {
  const form = e.target;
  if (new URL(form.action).pathname !== "/sign-out" || form.dataset.plain) return;
  e.preventDefault();
  try { await ready; } catch { return form.submit(); } // without its script this browser holds nothing
  await box.send(true);
  const left = (await box.all()).mine.length;
  if (left > 0 && !confirm(say2("leave", left))) return;
  await box.forget();
  form.dataset.plain = "yes";
  form.requestSubmit();
});

const { Outbox, uuid7, local } = await ready;
const box = new Outbox(told.who);
const bar = document.getElementById("waiting");
const main = document.getElementById("main");
const say = (key, pairs = {}) => (told.words[key] ?? key).replace(/\{(\w+)\}/g, (_, n) => pairs[n] ?? "");
const say2 = (key, n, pairs = {}) => say(key + (n === 1 ? "_single" : "_several"), { n, ...pairs });
let signal = true; // whether the server answered last time
let stale = false; // whether this page is older than it could be
let signedOut = false; // whether the server takes us for somebody else, or for nobody
let unheld = 0; // visits that this page alone holds

function make(tag, attributes = {}, ...inner) {
  const e = document.createElement(tag);
  for (const [k, v] of Object.entries(attributes)) k === "act" ? e.addEventListener("click", v) : e.setAttribute(k, v);
  e.append(...inner);
  return e;
}
const button = (key, act) => make("button", { type: "button", class: "do", act }, say(key));
const tongue = document.documentElement.lang + "-US", hours = { hour: "2-digit", minute: "2-digit", hourCycle: "h23" };
function when(text) { // by the clock at the bed, with the year where it is another
  const d = new Date(text), other = d.getFullYear() !== new Date(told.now).getFullYear();
  return isNaN(d) ? text : d.toLocaleString(tongue, { month: "long", day: "numeric", ...(other && { year: "numeric" }), ...hours });
}

// line is what a visit says, in the words that stood on the form.
const line = (v) => v.said.map(([k, x]) => (k ? k + ": " + x : x)).join("; ");

let drawn = "";
async function tell() {
  const { mine, others, loose } = await box.all();
  unheld = loose;
  const wait = mine.filter((v) => v.state === "waits").length;
  const next = JSON.stringify([mine, others, loose, signal, stale, signedOut, box.fails?.name]);
  if (next === drawn) return;
  drawn = next;
  const parts = [];
  if (!signal) parts.push(make("p", {}, say("no_signal", { at: when(local(told.now)) })));
  else if ((signedOut || mine.some((v) => v.barred)) && mine.length > 0) parts.push(make("p", { class: "wrong" }, say("signed_out")));
  else if (stale) parts.push(make("p", {}, say("stale", { at: when(local(told.now)) })));
  if (loose > 0) parts.push(make("p", { class: "wrong" }, say2("loose", loose)));
  else if (box.fails && told.bed) parts.push(make("p", {}, say("denied")));
  if (others > 0) parts.push(make("p", {}, say2("others", others)));
  if (wait > 0) {
    parts.push(make("p", { id: "waits" }, make("b", {}, say2("waits", wait))));
    parts.push(make("p", { class: "acts" }, button("send_now", () => send(true))));
  }
  if (mine.length > 0) {
    const open = bar.querySelector("details")?.open || mine.some((v) => v.state !== "waits");
    const list = make("details", { class: "more" }, make("summary", {}, say("show")), make("ul", { class: "bare lines" }, ...mine.map(item)));
    list.open = open;
    parts.push(list);
  }
  bar.replaceChildren(...parts);
  bar.hidden = parts.length === 0;
  document.documentElement.dataset.waits = String(wait);
}

// item is one visit that waits, with what can be done about it.
function item(v) {
  const at = v.fields.find(([k]) => k === "at")?.[1] ?? local(v.made);
  const e = make("li", { "data-visit": v.id, "data-state": v.state }, make("b", {}, `${v.title} ${when(at)}`), " ", line(v));
  const acts = make("p", { class: "acts" });
  const change = () => location.assign(`/beds/${v.bed}/${v.page}#change=${v.id}`);
  const away = async () => { if (confirm(say("throw_sure"))) await box.drop(v.id); };
  switch (v.state) {
    case "clash": {
      const theirs = v.answer.theirs;
      e.append(make("p", { class: "wrong" }, say("clash")), make("dl", {},
        make("dt", {}, say("clash_there")), make("dd", {}, theirs ? `${when(theirs.at)} ${theirs.said.map((c) => c.join(": ")).join("; ")}` : "—"),
        make("dt", {}, say("clash_here")), make("dd", {}, `${when(at)} ${line(v)}`)));
      acts.append(button("clash_both", async () => { // as a visit of its own, beside the other
        await box.put({ ...v, id: uuid7(await box.now()), sent: false, typed: true, state: "waits", tries: 0, next: 0, answer: undefined });
        await box.drop(v.id);
        send(true);
      }), button("clash_theirs", () => box.drop(v.id)));
      break;
    }
    case "refused":
      e.append(make("p", { class: "wrong" }, say("refused"), " ", (v.answer.wrong ?? []).join(" ")));
      acts.append(button("mend", change), button("throw", away));
      break;
    case "never":
      e.append(make("p", { class: "wrong" }, v.answer.what + " " + v.answer.right));
      acts.append(button("throw", away));
      break;
    case "clock":
      e.append(make("p", { class: "wrong" }, say("clock")));
      acts.append(button("mend", change), button("throw", away));
      break;
    default:
      acts.append(button("change", change), button("throw", away));
  }
  e.append(acts);
  return e;
}

async function send(urgent) {
  const became = await box.send(urgent);
  for (const v of Object.values(became)) if (v.state === "kept") signal = true;
  await look();
  return became;
}

// look asks whether there is signal, and whether this page is older than what it shows.
async function look() {
  const met = await box.meet();
  signal = met !== null;
  if (met && told.bed) stale = met.now - told.now > 120e3 && performance.now() < 60e3;
  signedOut = met !== null && met.who !== told.who;
  await tell();
  return met;
}

// ---- a form becomes a visit

const logs = (form) => form instanceof HTMLFormElement && form.method === "post" && /^\/beds\/[^/]+\/log$/.test(new URL(form.action).pathname);

// read gives what a form says, and the same in words.
function read(form, button) {
  const data = new FormData(form, button);
  const said = [];
  for (const [key, value] of data) {
    if (["id", "at", "from"].includes(key) || key.startsWith("unit:") || value === "" || (value instanceof File && value.size === 0)) continue;
    const field = [...form.elements].find((f) => f.name === key && (f.type !== "checkbox" && f.type !== "radio" || f.value === value));
    const label = field?.labels?.[0]?.textContent.trim() ?? "";
    const unit = form.elements.namedItem("unit:" + key)?.selectedOptions?.[0]?.textContent ?? "";
    const shown = field instanceof HTMLSelectElement ? field.selectedOptions[0].textContent : value instanceof File ? value.name : value;
    said.push(field?.type === "checkbox" ? ["", label || value] : [label || key, unit ? `${shown} ${unit}` : shown]);
  }
  return { fields: [...data].filter(([, v]) => !(v instanceof File) || v.size > 0), said };
}

addEventListener("submit", async (e) => {
  const form = e.target;
  if (!logs(form) || form.dataset.plain) return;
  e.preventDefault();
  if (form.dataset.busy) return;
  form.dataset.busy = "yes";
  try {
    const made = Date.now();
    const id = form.dataset.visit || uuid7(await box.now());
    const at = form.elements.namedItem("at");
    const typed = form.dataset.typed === "yes" || (at?.type !== "hidden" && at?.value !== at?.defaultValue);
    if (at && !typed) at.value = local(await box.now());
    form.elements.namedItem("id").value = id;
    const { fields, said } = read(form, e.submitter);
    const to = new URL(form.action).pathname;
    const visit = { id, who: told.who, to, bed: to.split("/")[2], page: location.pathname.split("/")[3] ?? "today", title: document.querySelector("h1").textContent, fields, said, made, typed, sent: false, tries: 0, next: 0, state: "waits" };
    const before = form.dataset.visit ? await box.one(id) : null;
    if (before) visit.sent = false;
    const kept = await box.put(visit);
    if (!kept && signal) { // a browser that keeps nothing: the form goes as it would without us
      await box.drop(id);
      if (await box.meet()) {
        form.dataset.plain = "yes";
        form.requestSubmit(e.submitter);
        return;
      }
      await box.put(visit);
    }
    tell();
    const became = (await send(true))[id];
    // what this page began to send before may have taken it along
    if (became?.state === "kept" || (!became && box.arrived(id))) return location.assign(`/beds/${visit.bed}/today?kept=${id}`);
    if (became?.state === "refused") return refused(became);
    delete form.dataset.visit;
    delete form.dataset.typed;
    form.reset();
    if (kept && (became ?? visit).state === "waits") note(say("kept_here", { at: local(made).slice(11), what: line(visit) }));
    advise();
  } finally {
    delete form.dataset.busy;
  }
});

// note says something at the head of the page.
function note(text) {
  document.getElementById("said-here")?.remove();
  const e = make("div", { id: "said-here", class: "state", role: "status", tabindex: "-1" }, make("span", {}, text));
  main.prepend(e);
  e.focus({ preventScroll: true });
  scrollTo({ top: 0 });
}

// refused shows the form again as the server did: with what was typed and what is wrong with it.
function refused(v) {
  const page = new DOMParser().parseFromString(v.answer.page, "text/html");
  const next = page.getElementById("main");
  if (!next) return;
  main.replaceChildren(...[...next.childNodes].map((n) => document.adoptNode(n)));
  dress(v);
  main.querySelector('[aria-invalid="true"]')?.focus();
}

// dress gives a form the visit that it changes.
function dress(v) {
  for (const form of main.querySelectorAll("form")) {
    if (!logs(form) || form.elements.namedItem("at")?.type === "hidden") continue;
    form.dataset.visit = v.id;
    form.dataset.typed = "yes";
    for (const [k, x] of v.fields) {
      for (const f of form.elements) {
        if (f.name !== k || k === "id") continue;
        if (f.type === "checkbox" || f.type === "radio") f.checked = f.checked || f.value === x;
        else if (f.type !== "file") f.value = x;
        f.closest("details")?.setAttribute("open", "");
      }
    }
  }
}

async function change() {
  const id = /^#change=([0-9a-f-]+)$/.exec(location.hash)?.[1];
  const v = id && (await box.one(id));
  if (!v) return;
  dress(v);
  history.replaceState(null, "", location.pathname + location.search);
  note(say("changing"));
}

// ---- advice without a server

let worker = null, asked = 0;
const waiting = new Map();
function ask(question) {
  if (!worker) {
    worker = new Worker(told.files.phone);
    worker.onmessage = (e) => { waiting.get(e.data.n)?.(e.data); waiting.delete(e.data.n); };
    worker.onerror = () => { for (const f of waiting.values()) f({ error: "worker" }); waiting.clear(); };
    worker.postMessage({ start: told.engine });
  }
  return new Promise((yes) => { waiting.set(++asked, yes); worker.postMessage({ n: asked, ...question }); });
}

// advise works the advice out on this phone, from what it holds of the bed and the visits that wait.
async function advise() {
  if (!told.engine || !told.bed) return;
  const mine = (await box.all()).mine.filter((v) => v.bed === told.bed && v.state === "waits");
  if (signal && mine.length === 0) return;
  let aside;
  try { aside = await (await fetch(`/beds/${told.bed}/aside`)).json(); } catch { return; }
  if (aside.who !== told.who) return;
  const now = local(await box.now());
  const text = (fields) => fields.filter(([, x]) => typeof x === "string");
  const answer = await ask({ brief: aside.brief, visits: mine.map((v) => text(v.fields)), now });
  document.getElementById("by-phone")?.remove();
  const times = { at: now.slice(11), from: when(aside.at) };
  const head = make("p", { class: "small soft" }, mine.length ? say2("by_phone_waits", mine.length, times) : say("by_phone", times));
  const e = make("section", { id: "by-phone", class: "now answer" }, head);
  const html = (text) => [...new DOMParser().parseFromString(text, "text/html").body.childNodes].map((n) => document.adoptNode(n));
  for (const [what, right] of answer.wrong ?? []) e.append(make("p", {}, what + " " + right));
  if (answer.now) {
    e.append(...html(answer.now));
    if (answer.done.length > 0) { // one touch writes it down
      const hidden = (name, value) => make("input", { type: "hidden", name, value });
      e.append(make("form", { method: "post", action: `/beds/${told.bed}/log`, class: "once" }, hidden("id", ""), hidden("at", now), ...answer.done.map(([k, x]) => hidden(k, x)),
        make("p", { class: "acts" }, make("button", { class: "do main wide" }, say("done")))));
    }
    e.append(make("details", { class: "more" }, make("summary", {}, say("rest")), ...html(answer.rest)));
  } else e.append(make("p", {}, say("by_phone_fails")));
  const old = main.querySelector("section.answer:not(#by-phone)"), note = document.getElementById("said-here");
  if (old && answer.now) old.hidden = true;
  if (note) note.after(e); // after a visit the answer comes first
  else if (old) old.before(e);
  else main.prepend(e);
}

// ---- going

addEventListener("beforeunload", (e) => { if (unheld > 0) e.preventDefault(); });
addEventListener("online", () => send(true));
addEventListener("hashchange", change);
document.addEventListener("visibilitychange", () => { if (!document.hidden) send(); });
box.heard(tell);

// The page that stands in for one that is not held leads to those that are.
if (document.getElementById("held") && "caches" in globalThis) {
  const pages = await (await caches.open("pages")).keys();
  for (const p of pages.filter((r) => r.url.endsWith("/today"))) {
    const page = new DOMParser().parseFromString(await (await caches.match(p)).text(), "text/html");
    document.getElementById("held").append(make("li", {}, make("a", { href: new URL(p.url).pathname }, page.querySelector("h1")?.textContent ?? p.url)));
  }
}

if (told.hold && "serviceWorker" in navigator) {
  navigator.serviceWorker.register(told.files.worker).then(async () => {
    const ready = await navigator.serviceWorker.ready;
    ready.active?.postMessage({ hold: told.bed ? "/beds/" + told.bed + "/held" : "/held" });
    navigator.storage?.persist?.();
    if (told.engine && told.bed) engineHeld();
  }).catch(() => { /* a browser that holds no pages: the outbox stands without it */ });
}

// engineHeld puts the engine on the phone while there is signal.
async function engineHeld() {
  try {
    const held = await caches.open("engine");
    const want = Object.values(told.engine);
    for (const f of want) if (!(await held.match(f))) await held.add(f);
    for (const f of await held.keys()) if (!want.includes(new URL(f.url).pathname)) await held.delete(f);
    document.documentElement.dataset.engine = "held";
  } catch { /* it is fetched when it is needed, or not there */ }
}

const met = await look();
await change();
if (met) await send(); else await advise();
document.documentElement.dataset.away = met ? "met" : "alone";
