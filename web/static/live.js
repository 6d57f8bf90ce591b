// The plan moves while one types. The form is sent as it stands; what comes back are the parts
// of the page that are marked, which are swapped where they became others. What is typed, the focus and the
// caret are not touched, and an older answer never takes the place of a newer one.
const form = document.querySelector("form[data-look]");
let asked = 0, shown = 0, wait = 0, under = null;

const draft = form && "draft " + form.dataset.look;
const fields = () => [...form.querySelectorAll("input[name], select[name]")].filter((f) => f.type !== "hidden" && f.type !== "file");
const stood = form && new Map(fields().map((f) => [f.name, f.value]));
const changed = () => fields().filter((f) => stood.get(f.name) !== f.value);

function note() {
  const rest = changed();
  document.getElementById("unkept").hidden = rest.length === 0;
  try {
    if (rest.length) sessionStorage.setItem(draft, JSON.stringify({ version: form.elements.version.value, fields: rest.map((f) => [f.name, f.value]) }));
    else sessionStorage.removeItem(draft);
  } catch { /* a browser that keeps nothing: the form itself still does */ }
}

async function look() {
  const mine = ++asked;
  under?.abort();
  under = new AbortController();
  try {
    const body = new URLSearchParams(new FormData(form));
    body.set("drawing", document.getElementById("drawing").dataset.sum);
    const answer = await fetch(form.dataset.look, { method: "POST", body, signal: under.signal });
    if (!answer.ok) return;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (mine < shown) return;
    shown = mine;
    for (const now of document.querySelectorAll("[data-live]")) {
      const next = page.getElementById(now.id);
      if (next && next.innerHTML !== now.innerHTML) now.replaceChildren(...[...next.childNodes].map((n) => document.adoptNode(n)));
      if (next?.dataset.sum !== undefined) now.dataset.sum = next.dataset.sum;
    }
    for (const f of fields()) {
      const said = document.getElementById(`${f.id}-said`);
      if (!said) continue;
      const wrong = said.querySelector(".wrong") !== null;
      if (wrong) f.setAttribute("aria-invalid", "true");
      else f.removeAttribute("aria-invalid");
      f.closest(".field")?.classList.toggle("fault", wrong);
    }
    document.documentElement.dataset.looked = String(mine);
  } catch (e) {
    if (e.name !== "AbortError" && !(e instanceof TypeError)) throw e; // no signal: the plan stands still
  }
}

if (form) {
  try {
    const kept = JSON.parse(sessionStorage.getItem(draft) ?? "null");
    if (kept && kept.version === form.elements.version.value) {
      for (const [name, value] of kept.fields) {
        const f = form.elements.namedItem(name);
        if (f) f.value = value;
      }
      note();
      look();
    }
  } catch { /* nothing kept */ }
  form.addEventListener("input", () => {
    note();
    for (const told of form.querySelectorAll(".matters p")) told.remove(); // it was of the plan before
    clearTimeout(wait);
    wait = setTimeout(look, 120);
  });
  form.addEventListener("click", async (e) => { // how much a field matters is told in its place
    const ask = e.target.closest("button[name=matters]");
    if (!ask) return;
    e.preventDefault();
    const place = ask.parentElement, body = new URLSearchParams(new FormData(form));
    body.set("matters", ask.value);
    ask.disabled = true;
    try {
      const answer = await fetch(ask.formAction, { method: "POST", body });
      const told = answer.ok && new DOMParser().parseFromString(await answer.text(), "text/html").getElementById(place.id);
      if (told) place.replaceChildren(...[...told.childNodes].map((n) => document.adoptNode(n)));
      place.focus();
    } catch { /* no signal: it can be asked again */ }
    ask.disabled = false;
  });
  form.addEventListener("submit", () => {
    try { sessionStorage.removeItem(draft); } catch { /* nothing kept */ }
  });
}
// a link to a field that lies in something folded opens it
function unfold() {
  let e = location.hash && document.getElementById(decodeURIComponent(location.hash.slice(1)));
  for (let up = e; up; up = up.parentElement) if (up instanceof HTMLDetailsElement) up.open = true;
  e?.scrollIntoView?.({ block: "center" });
}
addEventListener("hashchange", unfold);
unfold();
