// Of a drawing one part is a stop of the keyboard: a hole, a board, a month. The arrows lead on from it to the nearest that way,
// Home and End to the first and the last; it is then the stop.
const ways = { ArrowRight: [1, 0], ArrowLeft: [-1, 0], ArrowDown: [0, 1], ArrowUp: [0, -1] };
const middle = (part) => {
  const box = part.getBoundingClientRect();
  return [box.x + box.width / 2, box.y + box.height / 2];
};

const next = (now, all, key) => {
  if (key === "Home") return all[0];
  if (key === "End") return all.at(-1);
  const [right, down] = ways[key], [x, y] = middle(now);
  let best = null, least = Infinity;
  for (const part of all) {
    const [px, py] = middle(part), ahead = (px - x) * right + (py - y) * down, aside = Math.abs((px - x) * down) + Math.abs((py - y) * right);
    if (part === now || ahead < 1 || ahead + 3 * aside >= least) continue;
    [best, least] = [part, ahead + 3 * aside];
  }
  return best;
};

addEventListener("keydown", (e) => {
  const now = e.target.closest?.("svg .whence");
  if (!now || e.altKey || e.ctrlKey || e.metaKey || !(e.key in ways || e.key === "Home" || e.key === "End")) return;
  const to = next(now, [...now.closest("svg").querySelectorAll(".whence")], e.key);
  if (!to) return;
  e.preventDefault();
  for (const part of now.closest("svg").querySelectorAll(".whence")) part.setAttribute("tabindex", part === to ? "0" : "-1");
  to.focus();
});
