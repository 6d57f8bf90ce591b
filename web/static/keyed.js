// Keys of the paper log: Enter goes to the next row, arrows keep the column, " takes the cell
// above, Alt F goes to the next fault. Without script, Tab does it all.
const table = (e) => e.target.closest?.("table.keyed"); // the page may bring another
const rows = () => [...document.querySelectorAll("table.keyed tbody tr:not(.mendrow, .keptrow)")];
const cells = (row) => [...row.querySelectorAll("input:not([type=hidden])")];
const go = (row, column) => {
  const cell = row && cells(row)[column];
  cell?.focus();
  cell?.select();
};
addEventListener("keydown", (e) => {
  if (!table(e)) return;
  const row = e.target.closest("tr"), all = rows(), r = all.indexOf(row), c = cells(row).indexOf(e.target);
  if (c < 0 || e.ctrlKey || e.metaKey || e.isComposing) return;
  if (e.altKey && e.key.toLowerCase() === "f") {
    const bad = [...document.querySelectorAll("table.keyed [aria-invalid]")], next = bad[(bad.indexOf(e.target) + 1) % bad.length];
    if (next) go(next.closest("tr"), cells(next.closest("tr")).indexOf(next));
  } else if (e.key === "Enter" && all[r + 1]) go(all[r + 1], 0);
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
addEventListener("keypress", (e) => { // Enter keeps nothing: the button does
  if (table(e) && e.key === "Enter") e.preventDefault();
});
