// Whoever points at a figure sees its working, as by a click on it. It goes when the pointer has left it, and with Escape;
// a click on the figure keeps it.
let pointed = null, wait = 0;

addEventListener("pointerover", (e) => {
  if (e.pointerType !== "mouse") return;
  const how = e.target.closest?.(".how") ?? null;
  clearTimeout(wait);
  if (how === pointed) return;
  wait = setTimeout(() => {
    if (pointed) pointed.open = false;
    pointed = how?.open ? null : how;
    if (pointed) pointed.open = true;
  }, 250);
});
addEventListener("click", (e) => {
  if (!pointed || e.target.closest?.(".how > summary")?.parentElement !== pointed) return;
  pointed = null;
  e.preventDefault();
});
addEventListener("keydown", (e) => {
  if (e.key !== "Escape") return;
  for (const how of document.querySelectorAll(".how[open]")) how.open = false;
  pointed = null;
});
