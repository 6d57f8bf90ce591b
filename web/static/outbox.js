// The outbox: what was written down on this phone, kept until the server has it. Each thing has
// an id of its own, made here, so that sending it again keeps it once. It is on the phone's disk
// before a page says so.
const name = "raftwright", visits = "visits", facts = "facts";
const longest = 300e3; // ms between two tries
const off = 5 * 60e3; // ms by which a clock may be wrong without being put right
const oldest = 60 * 24 * 3600e3; // ms after which a visit that nobody dated is asked about

// uuid7 makes an id of time and chance (RFC 9562, version 7).
export function uuid7(now = Date.now()) {
  const b = crypto.getRandomValues(new Uint8Array(16));
  let t = Math.max(0, Math.floor(now));
  for (let i = 5; i >= 0; i--) (b[i] = t % 256), (t = Math.floor(t / 256));
  b[6] = (b[6] & 0x0f) | 0x70;
  b[8] = (b[8] & 0x3f) | 0x80;
  const x = [...b].map((n) => n.toString(16).padStart(2, "0")).join("");
  return x.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}

// local writes a moment as a clock at the bed shows it.
export function local(ms) {
  const d = new Date(ms), two = (n) => String(n).padStart(2, "0");
  return `${d.getFullYear()}-${two(d.getMonth() + 1)}-${two(d.getDate())}T${two(d.getHours())}:${two(d.getMinutes())}`;
}

// One that does not answer is as good as none, and is asked again only after a while, but for a
// visit that is to be kept.
const patience = 3000, pause = 10e3; // ms
let mute = 0;
async function within(store, mode, act, always) {
  if (performance.now() < mute && !always) throw new Error("no answer");
  let late;
  const over = new Promise((_, no) => {
    late = setTimeout(() => {
      mute = performance.now() + pause;
      no(new Error("no answer"));
    }, patience);
  });
  try {
    return await Promise.race([opened(store, mode, act), over]);
  } finally {
    clearTimeout(late);
  }
}

// A database is opened for each thing that is done, so that no page stands in the way of another.
async function opened(store, mode, act) {
  const db = await new Promise((yes, no) => {
    const r = indexedDB.open(name, 1);
    r.onupgradeneeded = () => {
      r.result.createObjectStore(visits, { keyPath: "id" });
      r.result.createObjectStore(facts);
    };
    r.onsuccess = () => yes(r.result);
    r.onerror = () => no(r.error);
  });
  try {
    return await new Promise((yes, no) => {
      const t = db.transaction(store, mode, { durability: "strict" });
      const r = act(t.objectStore(store));
      t.oncomplete = () => yes(r?.result);
      t.onabort = t.onerror = () => no(t.error ?? r?.error);
    });
  } finally {
    db.close();
  }
}

// emptied takes away what is held piece by piece: a cache that is deleted whole makes no room while somebody uses it.
async function emptied(name) {
  if (!(await caches.has(name))) return;
  const held = await caches.open(name);
  await Promise.all((await held.keys()).map((f) => held.delete(f)));
}

export class Outbox {
  #who; #lost = new Map(); #fact = new Map(); #timer = 0; #heard = []; #arrived = new Map();
  #known = new Map(); // what was on the disk when it was read last, and what this page did there since
  #channel = "BroadcastChannel" in globalThis ? new BroadcastChannel(name) : null;
  fails = null; // why this browser keeps nothing
  unread = false; // whether the disk did not answer: what waits there is then not known

  constructor(who) {
    this.#who = who;
    this.#channel?.addEventListener("message", () => this.#changed(true));
  }

  // heard calls back when something changed, here or in another tab.
  heard(f) { this.#heard.push(f); }
  #changed(elsewhere) {
    for (const f of this.#heard) f();
    if (!elsewhere) this.#channel?.postMessage("changed");
  }

  // put keeps a visit. It gives whether it is on the disk; what is not is held by this page alone.
  async put(visit) {
    const write = (x = visit) => within(visits, "readwrite", (s) => s.put(x), true);
    let kept = false;
    try {
      await write();
      kept = true;
    } catch (e) {
      this.fails = e;
      for (const held of ["engine", "pages", "files"]) { // a full phone: what can be fetched again makes room, the page that is open last
        if (this.fails?.name !== "QuotaExceededError") break;
        try {
          await Promise.race([emptied(held), new Promise((yes) => setTimeout(yes, 2000))]); // it may not answer either
          await write();
          kept = true;
          break;
        } catch (e) { this.fails = e; }
      }
    }
    this.#arrived.delete(visit.id); // that was of what stood there before
    if (kept) {
      this.fails = null;
      this.#lost.delete(visit.id);
      this.#known.set(visit.id, visit);
      for (const [id, x] of this.#lost) { // where there is room again, what this page alone holds goes there too
        try { await write(x), this.#lost.delete(id), this.#known.set(id, x); } catch (e) { this.fails = e; }
      }
    } else this.#lost.set(visit.id, visit);
    this.#changed();
    return kept;
  }

  async drop(id) {
    this.#lost.delete(id);
    this.#known.delete(id);
    try { await within(visits, "readwrite", (s) => s.delete(id), true); } catch { /* it is sent again, and kept once */ }
    this.#changed();
  }

  // amend writes what sending found out of a visit, or takes it away. It looks first, in one transaction: what a person wrote meanwhile
  // under the same id stays, and what was thrown away or sent by another page does not come back. It gives whether it was as it was sent.
  async #amend(v, gone) {
    const lost = this.#lost.get(v.id);
    if (lost) {
      if (lost.rev !== v.rev) return false;
      await (gone ? this.drop(v.id) : this.put(v));
      return true;
    }
    let stood = false;
    try {
      await within(visits, "readwrite", (s) => {
        const r = s.get(v.id);
        r.onsuccess = () => {
          stood = r.result !== undefined && r.result.rev === v.rev;
          if (stood) gone ? s.delete(v.id) : s.put(v);
        };
        return r;
      }, true);
      if (stood) gone ? this.#known.delete(v.id) : this.#known.set(v.id, v);
      this.#changed();
    } catch {
      stood = true;
      await (gone ? this.drop(v.id) : this.put(v)); // a full phone, or one that does not answer
    }
    return stood;
  }

  // all lists what waits, the oldest first; of others only their number is told. A disk that does not answer is not one on which
  // nothing waits: what is known to be there is told, and that it may be more (unread).
  async all() {
    try {
      this.#known = new Map((await within(visits, "readonly", (s) => s.getAll())).map((v) => [v.id, v]));
      this.unread = false;
    } catch (e) {
      this.fails = e;
      this.unread = e?.name !== "SecurityError"; // one that is denied holds nothing
    }
    const list = [...[...this.#known.values()].filter((v) => !this.#lost.has(v.id)), ...this.#lost.values()].sort((a, b) => a.made - b.made);
    return { mine: list.filter((v) => v.who === this.#who), others: list.filter((v) => v.who !== this.#who).length, loose: this.#lost.size };
  }
  // arrived gives what the server said of what this page has sent and the server has.
  arrived(id) { return this.#arrived.get(id); }
  async one(id) { return (await this.all()).mine.find((v) => v.id === id); }

  async fact(key, value) {
    try {
      if (value === undefined) return this.#fact.get(key) ?? await within(facts, "readonly", (s) => s.get(key));
      this.#fact.set(key, value);
      await within(facts, "readwrite", (s) => s.put(value, key));
    } catch { return this.#fact.get(key); }
  }

  // meet asks the server for its time and who it takes us for. It gives nothing without signal.
  async meet() {
    try {
      const sent = Date.now();
      const answer = await fetch("/now", { cache: "no-store", signal: AbortSignal.timeout(8000) });
      const said = await answer.json();
      const offset = said.now - (sent + Date.now()) / 2;
      await this.fact("offset", Math.abs(offset) > off ? offset : 0);
      return said;
    } catch { return null; }
  }

  // now is the time by the server's clock, as far as it was ever met.
  async now() { return Date.now() + ((await this.fact("offset")) ?? 0); }

  // send sends what waits, one after the other, in one tab at a time. Each try that fails makes
  // the next one later; with urgent all are tried now. It gives what became of each.
  async send(urgent = false) {
    const act = () => this.#send(urgent);
    if (!navigator.locks) return act();
    return navigator.locks.request(name, { ifAvailable: !urgent }, (lock) => (lock ? act() : {}));
  }

  async #send(urgent) {
    const became = {};
    clearTimeout(this.#timer);
    const due = (await this.all()).mine.filter((v) => v.state === "waits");
    if (this.unread) this.#timer = setTimeout(() => this.send(), pause); // there may be more
    if (due.length === 0) return became;
    if (!urgent && due.every((v) => v.next > Date.now() && v.next < Date.now() + 2 * longest)) return this.#later(due), became;
    const met = await this.meet();
    for (let v of due) {
      if (met && met.who === this.#who) v = became[v.id] = await this.#post(v, met.now);
      if (v.state === "waits") {
        v.tries = (v.tries ?? 0) + 1;
        v.next = Date.now() + Math.min(longest, 2000 * 2 ** Math.min(v.tries, 10)) * (0.75 + Math.random() / 2);
        became[v.id] = v;
        await this.#amend(v);
      }
      if (!met || met.who !== this.#who) break; // no signal, or nobody is signed in: the others wait too
    }
    this.#later((await this.all()).mine.filter((v) => v.state === "waits"));
    return became;
  }

  #later(due) {
    if (due.length === 0) return;
    const next = Math.min(...due.map((v) => v.next ?? 0)) - Date.now();
    this.#timer = setTimeout(() => this.send(), Math.max(1000, Math.min(longest, next)));
  }

  async #post(v, serverNow) {
    const clock = v.clock ?? (v.typed ? {} : { at: 16 }); // fields that the clock filled in, with how much of the time
    if (!v.sent && Object.keys(clock).length > 0) { // what was sent once is not changed: it may be there
      const at = v.made + ((await this.fact("offset")) ?? 0);
      v.fields = v.fields.map(([k, x]) => [k, k in clock ? local(at).slice(0, clock[k]) : x]);
      if (at > serverNow + off || at < serverNow - oldest) {
        v.state = "clock";
        await this.#amend(v);
        return v;
      }
    }
    v.sent = true;
    if (!(await this.#amend(v))) return v; // thrown away, sent by another page, or written anew since it was looked up
    const form = new FormData();
    for (const [k, x] of v.fields) form.append(k, k === "id" ? v.id : x);
    try {
      const answer = await fetch(v.to, { method: "POST", body: form, redirect: "manual", headers: { Accept: "application/json" }, signal: AbortSignal.timeout(30000) });
      v.barred = answer.status === 401; // nobody is signed in, or the link opens nothing any more
      if (v.barred) return v;
      let said = null;
      try { said = await answer.json(); } catch (e) { // not our words: something on the way answers
        if (answer.status !== 413) throw e;
        said = { state: "never", large: true };
      }
      switch (said.state) {
        case "kept":
          if (await this.#amend(v, true)) this.#arrived.set(v.id, said); // else what was written meanwhile is still to be sent
          return { ...v, state: "kept", answer: said };
        case "refused": // not there: it may be put right under the same id
          v.sent = false;
          // falls through
        case "clash":
        case "removed": // its bed: it waits for that to be brought back, and for its writer to send it again
        case "never":
          v.state = said.state;
          v.answer = said;
          await this.#amend(v);
      }
    } catch { /* no signal, or a server in trouble: it waits */ }
    return v;
  }

  // forget takes all that this browser holds of us away. What waits of another person stays; it gives whether there is any.
  async forget() {
    this.#lost.clear();
    this.#fact.clear();
    clearTimeout(this.#timer);
    const { mine, others } = await this.all();
    try { await Promise.all((await caches.keys()).map((k) => caches.delete(k))); } catch { /* none */ }
    try { sessionStorage.clear(); } catch { /* none */ }
    if (others > 0) {
      for (const v of mine) await this.drop(v.id);
      try { await within(facts, "readwrite", (s) => s.clear(), true); } catch { /* none */ }
      return true;
    }
    try {
      await new Promise((yes) => {
        const r = indexedDB.deleteDatabase(name);
        r.onsuccess = r.onerror = r.onblocked = yes;
      });
    } catch { /* none */ }
    this.#known.clear();
    this.#changed();
    return false;
  }
}
