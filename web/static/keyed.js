// Keys of the paper log: Enter goes to the next row, arrows keep the column, " takes the cell
// above, Alt F goes to the next fault. A day that follows in step is filled on, and 62 becomes
// pH 6.2. Without script, Tab does it all.
const table = (e) => e.target.closest?.("table.keyed"); // the page may bring another
const rows = () => [...document.querySelectorAll("table.keyed tbody tr:not(.mendrow, .keptrow)")];
const cells = (row) => [...row.querySelectorAll("input:not([type=hidden])")];
const go = (row, column) => {
  const cell = row && cells(row)[column];
  cell?.focus();
  cell?.select();
};
const dayCell = (row) => row.querySelector("input[name$=':day']");
const order = () => document.getElementById("order")?.value;
function dayOf(text, last) { // as the program reads it
  const n = text.trim().split(/[/. -]+/).map(Number);
  if (!text.trim() || n.some(Number.isNaN)) return null;
  const year = last?.getUTCFullYear() ?? Number(document.getElementById("year").value);
  if (n.length === 1) return last && new Date(Date.UTC(year, last.getUTCMonth(), n[0]));
  if (n[0] > 999) return new Date(Date.UTC(n[0], n[1] - 1, n[2]));
  const [m, d] = order() === "day" ? [n[1], n[0]] : n;
  return new Date(Date.UTC(n.length > 2 ? n[2] % 2000 + 2000 : year, m - 1, d));
}
function fillOn(all, r) { // where the last two steps are alike; it is seen, and can be typed over
  const cell = all[r] && dayCell(all[r]);
  if (!cell || cell.value || r < 3) return false;
  let last = null;
  const days = all.slice(0, r).map((row) => (last = dayOf(dayCell(row).value, last) ?? last) && dayCell(row).value && Number(last));
  const [a, b, c] = days.slice(-3), step = c - b;
  if (!a || !b || !c || step <= 0 || b - a !== step) return false;
  const next = new Date(c + step), d = next.getUTCDate(), m = next.getUTCMonth() + 1;
  cell.value = m === last.getUTCMonth() + 1 ? `${d}` : order() === "day" ? `${d}/${m}` : `${m}/${d}`;
  return true;
}
let under = false; // Enter that was pressed in the table is down still
addEventListener("keydown", (e) => {
  if (!table(e)) return;
  under = e.key === "Enter";
  const row = e.target.closest("tr"), all = rows(), r = all.indexOf(row), c = cells(row).indexOf(e.target);
  if (c < 0 || e.ctrlKey || e.metaKey || e.isComposing) return;
  if (e.altKey && e.key.toLowerCase() === "f") {
    const bad = [...document.querySelectorAll("table.keyed [aria-invalid]")], next = bad[(bad.indexOf(e.target) + 1) % bad.length];
    if (next) go(next.closest("tr"), cells(next.closest("tr")).indexOf(next));
  } else if (e.key === "Enter" && all[r + 1]) go(all[r + 1], fillOn(all, r + 1) ? 1 : 0);
  else if (e.key === "Enter") e.target.form.querySelector("button.main").focus();
  else if (e.key === "ArrowDown") go(all[r + 1], c);
  else if (e.key === "ArrowUp") go(all[r - 1], c);
  else return;
  e.preventDefault();
});
addEventListener("input", (e) => { // of a keyboard on glass no key is told
  if (!table(e)) return;
  const all = rows(), r = all.indexOf(e.target.closest("tr"));
  if (r > 0 && e.target.value === '"') e.target.value = cells(all[r - 1])[cells(all[r]).indexOf(e.target)].value;
});
addEventListener("change", (e) => { // two figures of a meter with one decimal
  const unit = document.querySelector("select[name='unit:ec']")?.value;
  if (table(e) && (/:ph$/.test(e.target.name) && /^[2-9]\d$/.test(e.target.value) || /:ec$/.test(e.target.name) && unit === "mS/cm" && /^\d\d$/.test(e.target.value))) e.target.value = `${e.target.value[0]}.${e.target.value[1]}`;
});
addEventListener("keypress", (e) => { // Enter keeps nothing, nor does it press the button that it led to
  if (e.key === "Enter" && (under || table(e))) e.preventDefault();
});
addEventListener("keyup", () => (under = false));
