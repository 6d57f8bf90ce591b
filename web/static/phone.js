// The worker in which a phone works out what to do at a bed: the same engine as the server's.
let ready = null;

async function start(files) {
  importScripts(files.exec);
  const go = new Go();
  const get = async (f) => {
    try {
      const answer = await fetch(f);
      if (answer.ok) return answer;
    } catch { /* no signal: what is held */ }
    const held = await caches.match(f);
    if (!held) throw new Error("not held");
    return held;
  };
  const begun = new Promise((yes) => (self.raftwrightReady = yes));
  let module;
  try {
    module = await WebAssembly.instantiateStreaming(await get(files.engine), go.importObject);
  } catch {
    module = await WebAssembly.instantiate(await (await get(files.engine)).arrayBuffer(), go.importObject);
  }
  go.run(module.instance);
  await begun;
  const failed = raftwright.speak(await (await get(files.words)).text());
  if (failed) throw failed;
}

onmessage = async (e) => {
  const q = e.data;
  if (q.start) {
    ready = start(q.start);
    ready.catch(() => {});
    return;
  }
  try {
    await ready;
    const out = raftwright.tend(q.brief, q.visits, q.now);
    postMessage(out instanceof Error ? { n: q.n, error: out.message } : { n: q.n, ...out });
  } catch (err) {
    postMessage({ n: q.n, error: String(err) });
  }
};
