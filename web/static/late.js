// An answer that is being worked out: the page asks for itself again, waits with the server, and shows the new in place of the former.
// What is typed is not touched.
const most = 60; // after so many it is left to whoever reads

async function again(n) {
  const late = document.querySelector("[data-late]");
  if (!late || n > most) return;
  let page = null;
  try {
    const here = new URL(location.href);
    here.searchParams.delete("kept");
    here.searchParams.set("again", "yes"); // of the server itself: what this phone holds of the page may be of before
    const answer = await fetch(here, { headers: { Prefer: "wait=3" } });
    if (answer.ok) page = new DOMParser().parseFromString(await answer.text(), "text/html");
  } catch { /* no signal: asked again */ }
  if (!page?.getElementById("late") || page.querySelector("[data-late]")) {
    setTimeout(again, Math.min(200 * 2 ** n, 8000), n + 1);
    return;
  }
  for (const now of document.querySelectorAll("[data-anew]")) {
    const next = page.getElementById(now.id);
    if (next) now.replaceChildren(...[...next.childNodes].map((x) => document.adoptNode(x)));
  }
  const said = document.getElementById("late"), text = document.createElement("p");
  text.className = "small soft";
  text.textContent = said.dataset.came;
  said.replaceChildren(text);
  if (navigator.serviceWorker?.controller) fetch(location.pathname).catch(() => {}); // so that this phone holds the new page
}
again(0);
