// On one's own computer the program ends a while after the last page has gone: each open
// page gives a sign now and then, and says when it goes.
const page = crypto.randomUUID?.() ?? String(Math.random());
const sign = (left) => navigator.sendBeacon("/here", new URLSearchParams(left ? { page, left } : { page }));
sign();
setInterval(() => sign(), 20_000);
addEventListener("pageshow", () => sign());
addEventListener("pagehide", () => sign("yes"));
