// What a page does without signal: what is written down goes into the outbox first, the page says how many
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
  if (left > 0 ? !confirm(say2("leave", left)) : box.unread && !confirm(say("leave_unread"))) return;
  if (await box.forget()) form.append(make("input", { type: "hidden", name: "others", value: "yes" })); // what waits of them stays
  form.dataset.plain = "yes";
  form.requestSubmit();
});

// A button that is pressed twice sends its form once: of two answers a browser shows the second, and what is told this once stood in the first.
addEventListener("submit", (e) => {
  const form = e.target, at = performance.now(), by = e.submitter?.name + "=" + e.submitter?.value + (e.submitter?.getAttribute("formaction") ?? "");
  if (e.defaultPrevented || form.dataset.plain || form.dataset.keeps || form.getAttribute("method") !== "post") return;
  if (form.dataset.by === by && at - form.dataset.pressed < 1500) return e.preventDefault();
  form.dataset.by = by, form.dataset.pressed = at;
});

const { Outbox, uuid7, local } = await ready;
const box = new Outbox(told.who);
const bar = document.getElementById("waiting");
const main = document.getElementById("main");
const say = (key, pairs = {}) => (told.words[key] ?? key).replace(/\{(\w+)\}/g, (_, n) => pairs[n] ?? "");
const say2 = (key, n, pairs = {}) => say(key + (n === 1 ? "_single" : "_several"), { n, ...pairs });
let signal = true; // whether the server answered last time
let stale = false; // whether this page is older than it could be
let coming = ""; // "waits" while a newer page is on its way in place of this one, "came" when it is there
let signedOut = false; // whether the server takes us for somebody else, or for nobody
let unheld = 0; // how much this page alone holds

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

// age is how many days ago something was, by the clock of this phone put right.
let wrongBy = 0;
const age = (ms) => Math.floor((Date.now() + wrongBy - ms) / 864e5);
// writes tells whether something can be written down on this page.
const writes = () => told.bed || document.querySelector("form[data-keeps]");

// sentence is a fault as one that stands by itself.
const sentence = (text) => text && text[0].toUpperCase() + text.slice(1) + (/[.!?]$/.test(text) ? "" : ".");

// line is what a person wrote, in the words that stood on the form.
const line = (v) => v.said.map(([k, x]) => (k ? k + ": " + x : x)).join("; ");

let drawn = "", again = 0;
async function tell() {
  wrongBy = (await box.fact("offset")) ?? 0;
  const { mine, others, loose } = await box.all();
  unheld = loose;
  const wait = mine.filter((v) => v.state === "waits").length;
  const days = !signal || stale || coming ? age(told.now) : 0;
  if (box.unread) clearTimeout(again), again = setTimeout(tell, 5000);
  const next = JSON.stringify([mine, others, loose, signal, stale, coming, signedOut, days, box.fails?.name, box.unread]);
  if (next === drawn) return;
  drawn = next;
  const parts = [];
  if (!signal) parts.push(make("p", {}, say("no_signal", { at: when(local(told.now)) })));
  else if ((signedOut || mine.some((v) => v.barred)) && mine.length > 0) parts.push(make("p", { class: "wrong" }, say("signed_out")));
  else if (coming === "came") parts.push(make("p", {}, say("came", { at: when(local(told.now)) }), " ", make("a", { class: "touch", href: "" }, say("show_newer"))));
  else if (coming) parts.push(make("p", {}, say("coming", { at: when(local(told.now)) })));
  else if (stale) parts.push(make("p", {}, say("stale", { at: when(local(told.now)) })));
  if (days > 1) parts.push(make("p", { class: "wrong" }, say("days_old", { n: days })));
  if (loose > 0) parts.push(make("p", { class: "wrong" }, say2("loose", loose)));
  if (box.unread) parts.push(make("p", { class: "wrong" }, say("unread")));
  else if (loose === 0 && box.fails && writes()) parts.push(make("p", {}, say("denied")));
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
  document.documentElement.dataset.waits = wait === 0 && box.unread ? "unread" : String(wait);
}

// item is one thing that waits, with what can be done about it.
function item(v) {
  const at = v.fields.find(([k, x]) => k === "at" && x)?.[1] ?? local(v.made);
  const e = make("li", { "data-visit": v.id, "data-state": v.state }, make("b", {}, `${v.title} ${when(at)}`), " ", line(v));
  const acts = make("p", { class: "acts" });
  const change = () => location.assign((v.from ?? `/beds/${v.bed}/${v.page}`) + "#change=" + v.id);
  const away = async () => { if (confirm(say("throw_sure"))) await box.drop(v.id); };
  switch (v.state) {
    case "clash": {
      const { theirs, differs, beside } = v.answer, later = differs || v.keeps === "mend"; // somebody changed meanwhile what this changes
      e.append(make("p", { class: "wrong" }, say(later ? "clash_meanwhile" : "clash")));
      const both = (there, here) => [make("dt", {}, say("clash_there")), make("dd", {}, there || "—"), make("dt", {}, say("clash_here")), make("dd", {}, here || "—")];
      const stands = theirs && (theirs.at ? when(theirs.at) + " " : "") + theirs.said.map((c) => c.join(": ")).join("; ");
      if (differs) for (const [key, there, here] of differs) e.append(make("p", {}, make("b", {}, key)), make("dl", {}, ...both(there, here)));
      else e.append(make("dl", {}, ...both(stands, `${when(at)} ${line(v)}`)));
      if (beside) e.append(make("p", {}, make("a", { href: beside }, say("clash_versions"))));
      const again = async (fields) => {
        const anew = { ...v, fields, id: uuid7(await box.now()), rev: uuid7(), sent: false, typed: true, clock: {}, state: "waits", tries: 0, next: 0, answer: undefined };
        if (await box.put(anew)) await box.drop(v.id); // what is on the disk stays there until the other is
        send(true);
      };
      if (later) acts.append(button("clash_mine", () => again(over(v))));
      else if (v.keeps !== "photo") acts.append(button(v.keeps === "row" ? "clash_beside" : "clash_both", () => again(v.fields))); // of its own, beside the other
      acts.append(button("clash_theirs", () => box.drop(v.id)));
      break;
    }
    case "refused":
      e.append(make("p", { class: "wrong" }, say("refused"), " ", reasons(v)));
      acts.append(...(v.keeps === "photo" ? [] : [button("mend", change)]), button("throw", away));
      break;
    case "removed":
      e.append(make("p", { class: "wrong" }, say("bed_removed"), " ", sentence(v.answer.what), " ", sentence(v.answer.right)));
      acts.append(button("send_now", async () => (await box.put({ ...v, state: "waits", rev: uuid7(), tries: 0, next: 0, answer: undefined }), send(true))), button("throw", away));
      break;
    case "never":
      e.append(make("p", { class: "wrong" }, v.answer.large ? say("large") : sentence(v.answer.what) + " " + sentence(v.answer.right)));
      acts.append(button("throw", away));
      break;
    case "clock":
      e.append(make("p", { class: "wrong" }, say("clock")));
      acts.append(button("mend", change), button("throw", away));
      break;
    default:
      acts.append(...(v.keeps === "photo" ? [] : [button("change", change)]), button("throw", away));
  }
  e.append(acts);
  return e;
}

// reasons is what a page says is wrong with a form.
const page = (v) => new DOMParser().parseFromString(v.answer.page ?? "", "text/html");
function reasons(v) {
  const all = (what) => [...page(v).querySelectorAll(what)].slice(0, 4).map((e) => e.textContent.trim()).join(" ");
  return all("main .wrong p:not(.help), main p.wrong, main .mendrow p") || all("main .caution p");
}

// over gives what was written over what stands there now.
function over(v) {
  const form = page(v).querySelector(`form[data-keeps="${v.keeps}"]`);
  if (form && v.keeps === "brief") return [...new FormData(form)];
  return v.fields.map(([k, x]) => [k, k === "version" ? String(v.answer.theirs?.version ?? x) : x]);
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
  if (met && writes()) stale = met.now - told.now > 120e3 && performance.now() < 60e3;
  signedOut = met !== null && met.who !== told.who;
  await tell();
  return met;
}

// ---- a form goes into the outbox

// changed tells whether a field is not as the page brought it.
function changed(f) {
  if (f.type === "checkbox" || f.type === "radio") return f.checked !== f.defaultChecked;
  return f.value !== (f instanceof HTMLSelectElement ? [...f.options].find((o) => o.defaultSelected) ?? f.options[0] : { value: f.defaultValue })?.value;
}

// What is typed outlives a change of the language: each form is known by where it goes, and its fields are filled again on the page that comes.
const fields = (form) => [...form.elements].filter((f) => f.name && !(f instanceof HTMLButtonElement) && !["hidden", "password", "file"].includes(f.type));
const ticked = (f) => f.type === "checkbox" || f.type === "radio";
function byName() { // a page may have several that go to one place
  const count = {};
  return [...main.querySelectorAll("form")].map((form) => [form.getAttribute("action") + " " + (count[form.getAttribute("action")] = (count[form.getAttribute("action")] ?? 0) + 1), form]);
}
addEventListener("submit", (e) => {
  if (e.target.getAttribute("action") !== "/language") return;
  const all = main.querySelector('[aria-invalid="true"], .wrong') !== null; // what was refused stands there as it was typed
  const typed = byName().filter(([, form]) => !form.dataset.visit).flatMap(([name, form]) => fields(form).filter((f) => all || changed(f)).map((f) => [name, f.name, f.value, f.checked]));
  try { sessionStorage.setItem("typed", JSON.stringify(typed)); } catch { /* a browser that keeps nothing */ }
});
function retype() {
  let typed = [];
  try {
    typed = JSON.parse(sessionStorage.getItem("typed") ?? "[]");
    sessionStorage.removeItem("typed");
  } catch { /* nothing kept */ }
  const forms = new Map(byName());
  for (const [name, key, value, checked] of typed) {
    const f = forms.has(name) && fields(forms.get(name)).find((f) => f.name === key && (!ticked(f) || f.value === value));
    if (!f || (ticked(f) ? f.checked === checked : f.value === value)) continue;
    ticked(f) ? (f.checked = checked) : (f.value = value);
    f.closest("details")?.setAttribute("open", "");
    f.dispatchEvent(new Event("input", { bubbles: true }));
  }
}

// read gives what a form says, and the same in words.
function read(form, submitter) {
  const data = new FormData(form, submitter), keeps = form.dataset.keeps;
  const said = [];
  for (const [key, value] of data) {
    if (keeps === "paper" || ["id", "at", "from", "version", "entry"].includes(key) || key.startsWith("unit:") || value === "" && keeps !== "brief" || (value instanceof File && value.size === 0)) continue;
    const field = [...form.elements].find((f) => f.name === key && (f.type !== "checkbox" && f.type !== "radio" || f.value === value));
    if (keeps === "brief" && (!field || field instanceof HTMLButtonElement || !changed(field))) continue;
    const label = field instanceof HTMLButtonElement ? "" : field?.labels?.[0]?.textContent.trim() || field?.getAttribute("aria-label");
    const unit = form.elements.namedItem("unit:" + key)?.selectedOptions?.[0]?.textContent ?? "";
    const shown = field instanceof HTMLSelectElement ? field.selectedOptions[0].textContent : field instanceof HTMLButtonElement ? field.textContent : value instanceof File ? say("photo") : value;
    said.push(field?.type === "checkbox" ? ["", label || value] : [label ?? key, (unit ? `${shown} ${unit}` : shown) || "—"]);
  }
  if (keeps === "paper") said.push(["", say2("rows", rows(form).filter((r) => r.some((f) => f.value)).length)]);
  return { fields: [...data].filter(([, v]) => !(v instanceof File) || v.size > 0), said };
}

// rows are the cells of a paper log, row by row.
const rows = (form) => [...form.querySelectorAll("tbody tr")].map((r) => [...r.querySelectorAll("input:not([type=hidden])")]).filter((r) => r.length > 0);

// renew gives a form that was shown before an id of its own: the same held page is written on many times.
function renew(form, id) {
  const was = form.elements.namedItem("id");
  if (form.dataset.keeps === "paper") { // each row has one
    for (const r of rows(form)) {
      const own = r[0].closest("tr").querySelector("input[type=hidden]");
      if (own) own.value = uuid7();
    }
  }
  if (!was) return;
  const end = (x) => x.slice(-7).toUpperCase();
  if (form.dataset.keeps === "row" && was.value) { // the name of a row ends as its id does
    for (const f of form.querySelectorAll("input:not([type=hidden])")) if (end(f.value) === end(was.value)) f.value = f.value.slice(0, -7) + end(id);
  }
  was.value = id;
}

// shown gives the id that the page came with, once: the name of the row that is read there, and written on paper, is then the one that is kept. A page
// that is held is written on again, with another; so where nothing may be stored.
function shown(form) {
  const id = form.dataset.keeps === "row" ? form.elements.namedItem("id")?.value : "";
  if (!id) return "";
  try {
    const used = JSON.parse(localStorage.getItem("used") ?? "[]");
    if (used.includes(id)) return "";
    localStorage.setItem("used", JSON.stringify([...used.slice(1 - mostUsed), id]));
    return id;
  } catch { return ""; }
}
const mostUsed = 200;

// clocked are the fields that the clock fills in, with how much of the time they hold.
async function clocked(form) {
  if (form.dataset.typed === "yes" || !["visit", "row"].includes(form.dataset.keeps)) return {};
  const now = local(await box.now()), out = {};
  const at = form.elements.namedItem("at");
  if (at && (at.type === "hidden" || at.value === at.defaultValue)) out.at = 16;
  for (const f of form.querySelectorAll("input[type=date]")) if (f.value && f.value === f.defaultValue && f.value === local(told.now).slice(0, 10)) out[f.name] = 10;
  for (const [k, n] of Object.entries(out)) form.elements.namedItem(k).value = now.slice(0, n);
  return out;
}

// small gives a photo as it is kept: no larger than the server keeps it, with nothing in it but the picture.
const side = 1600, most = 6e6; // pixels; bytes of what this browser cannot read
async function small(file) {
  try {
    const picture = await createImageBitmap(file);
    const by = Math.min(1, side / Math.max(picture.width, picture.height));
    const canvas = make("canvas", { width: Math.max(1, Math.round(picture.width * by)), height: Math.max(1, Math.round(picture.height * by)) });
    const pen = canvas.getContext("2d");
    pen.fillStyle = "white"; // under what is clear
    pen.fillRect(0, 0, canvas.width, canvas.height);
    pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
    return (await new Promise((yes) => canvas.toBlob(yes, "image/jpeg", 0.85))) ?? file;
  } catch { return file; }
}

const blank = new WeakMap(); // what a form says when nothing is written on it
addEventListener("submit", async (e) => {
  const form = e.target;
  if (!(form instanceof HTMLFormElement) || !form.dataset.keeps || form.dataset.plain) return;
  if (["add", "drop", "mend"].includes(e.submitter?.name)) { // the form itself becomes another
    if (!signal) e.preventDefault(), note(say("wants_signal"));
    return;
  }
  e.preventDefault();
  if (form.dataset.busy) return;
  const next = form.dataset.keeps === "visit" && !form.matches(".once"); // while this is on its way the next visit may be written
  if (next && form.dataset.away > 0 && blank.get(form) === JSON.stringify(read(form).said)) return; // pressed twice
  form.dataset.busy = "yes";
  let away = false;
  try {
    const made = Date.now(), keeps = form.dataset.keeps, to = new URL(form.getAttribute("action"), location.href).pathname;
    const id = form.dataset.visit || shown(form) || uuid7(await box.now());
    const clock = await clocked(form);
    if (!form.dataset.visit) renew(form, id);
    const { fields, said } = read(form, e.submitter);
    for (const pair of fields) {
      if (!(pair[1] instanceof Blob)) continue;
      pair[1] = await small(pair[1]);
      if (pair[1].size > most) return note(say("photo_large"));
    }
    if (keeps === "brief" && said.length === 0 && !signal && !form.dataset.visit) { // nothing was changed
      if (e.submitter?.name === "then") location.assign(to.replace(/brief$/, "plan"));
      return;
    }
    const visit = { id, rev: uuid7(), who: told.who, keeps, to, from: location.pathname, bed: to.split("/")[2], title: [document.querySelector("h1").textContent, keeps === "brief" ? form.getAttribute("aria-label") : ""].filter(Boolean).join(", "), fields, said, made, clock, typed: Object.keys(clock).length === 0, sent: false, tries: 0, next: 0, state: "waits" };
    const kept = await box.put(visit);
    if (next) { // where signal is poor an answer takes seconds: nothing that is typed meanwhile is wiped
      form.reset();
      delete form.dataset.visit, delete form.dataset.typed, delete form.dataset.busy;
      form.dataset.away = Number(form.dataset.away ?? 0) + 1, away = true;
      blank.set(form, JSON.stringify(read(form).said));
    }
    tell();
    // what this page, or another, began to send before may have taken it along
    const became = (await send(true))[id] ?? (await box.one(id));
    const answered = became?.state === "kept" ? became.answer : box.arrived(id);
    if (next && (form.dataset.busy || blank.get(form) !== JSON.stringify(read(form).said))) { // somebody writes on: this page stays, and what became of it stands at its head
      stale = stale || !!answered || !became;
      return tell();
    }
    if (answered) return answered.to ? location.assign(answered.to) : show(answered.page);
    if (became?.state === "refused") return refused(became);
    if (!became && kept) return location.reload(); // another page has sent it
    if (!next) delete form.dataset.visit, delete form.dataset.typed;
    if (!next && keeps !== "brief" && keeps !== "mend") form.reset();
    document.getElementById("unkept")?.setAttribute("hidden", "");
    if (became?.state === "waits" && kept) {
      note(say("kept_here", { at: local(made).slice(11), what: line(visit) }));
      if (keeps === "brief" || keeps === "mend") form.dataset.visit = id, form.dataset.typed = "yes"; // what is changed further changes what waits
    }
    advise();
  } finally {
    if (away) form.dataset.away -= 1;
    else delete form.dataset.busy;
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

// show puts what the server answered in place of what stands there.
function show(text) {
  const next = new DOMParser().parseFromString(text, "text/html").getElementById("main");
  if (next) main.replaceChildren(...[...next.childNodes].map((n) => document.adoptNode(n)));
  scrollTo({ top: 0 });
  return next;
}

// refused shows the form again as the server did: with what was typed and what is wrong with it.
function refused(v) {
  if (!show(v.answer.page)) return;
  dress(v, true);
  main.querySelector('[aria-invalid="true"]')?.focus();
}

// dress gives a form what waits and is changed with it.
function dress(v, shown) {
  for (const form of main.querySelectorAll("form[data-keeps]")) {
    if (new URL(form.getAttribute("action"), location.href).pathname !== v.to || form.elements.namedItem("at")?.type === "hidden") continue;
    form.dataset.visit = v.id;
    form.dataset.typed = "yes";
    if (shown) continue; // it stands there as it was typed
    const names = new Set(v.fields.map(([k]) => k));
    for (const f of form.elements) if (v.keeps === "brief" && f.name && !names.has(f.name) && !(f instanceof HTMLButtonElement)) f.disabled = true; // of a later version
    for (const [k, x] of v.fields) {
      for (const f of form.elements) {
        if (f.name !== k || k === "id" || f instanceof HTMLButtonElement) continue;
        if (f.type === "checkbox" || f.type === "radio") f.checked = f.checked || f.value === x;
        else if (f.type !== "file") f.value = x;
        if (x !== "" && (v.keeps !== "brief" || changed(f))) f.closest("details")?.setAttribute("open", "");
      }
    }
    return true;
  }
}

async function change() {
  const id = /^#change=([0-9a-f-]+)$/.exec(location.hash)?.[1];
  const brief = document.querySelector('form[data-keeps="brief"]'); // what waits of a brief is in its form: it is one change
  const v = id ? await box.one(id) : brief && (await box.all()).mine.find((x) => x.to === new URL(brief.getAttribute("action"), location.href).pathname && x.state === "waits" && !x.sent);
  if (!v || !dress(v)) return;
  if (id) history.replaceState(null, "", location.pathname + location.search);
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
  const mine = (await box.all()).mine.filter((v) => (v.keeps ?? "visit") === "visit" && v.bed === told.bed && v.state === "waits");
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
  const days = age(new Date(aside.at).getTime());
  if (days > 1) e.append(make("p", { class: "wrong" }, say("advice_old", { n: days })));
  for (const [what, right] of answer.wrong ?? []) e.append(make("p", {}, what + " " + right));
  if (answer.now) {
    e.append(...html(answer.now));
    if (answer.done.length > 0) { // one touch writes it down
      const hidden = (name, value) => make("input", { type: "hidden", name, value });
      e.append(make("form", { method: "post", action: `/beds/${told.bed}/log`, class: "once", "data-keeps": "visit" }, hidden("id", ""), hidden("at", now), ...answer.done.map(([k, x]) => hidden(k, x)),
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

retype();
addEventListener("beforeunload", (e) => { if (unheld > 0) e.preventDefault(); });
addEventListener("online", () => send(true));
addEventListener("hashchange", change);
document.addEventListener("visibilitychange", () => { if (!document.hidden) send(); });
box.heard(tell);

// The page that stands in for one that is not held leads to those that are.
if (document.getElementById("held") && "caches" in globalThis) {
  const pages = await (await caches.open("pages")).keys();
  for (const p of pages.filter((r) => /\/(today|program)$/.test(r.url))) {
    const page = new DOMParser().parseFromString(await (await caches.match(p)).text(), "text/html");
    document.getElementById("held").append(make("li", {}, make("a", { href: new URL(p.url).pathname }, page.querySelector("h1")?.textContent ?? p.url)));
  }
}

if (told.hold && "serviceWorker" in navigator) {
  navigator.serviceWorker.addEventListener("message", (e) => {
    if (e.data.coming === undefined) return;
    coming = e.data.coming;
    tell();
  });
  navigator.serviceWorker.controller?.postMessage({ coming: location.origin + location.pathname });
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
