// node run.js FOLDER QUESTIONS: puts each question to the program in the folder and writes the
// answers over them as one JSON list. A question is the list of what raftwright.tend is given.
"use strict";
const fs = require("fs"), path = require("path");
const [folder, questions] = process.argv.slice(2);
require(path.resolve(folder, "wasm_exec.js"));
const go = new Go();
const began = process.hrtime.bigint();
globalThis.raftwrightReady = () => {
	const ms = () => Number(process.hrtime.bigint() - began) / 1e6;
	console.log("started after", ms().toFixed(0), "ms");
	const all = JSON.parse(fs.readFileSync(questions, "utf8"));
	const refused = (what, got) => { if (!(got instanceof Error)) throw new Error(what + " is not refused: " + got); };
	refused("advice without sentences", raftwright.tend(...all[0]));
	refused("a page of a server as sentences", raftwright.speak("<!doctype html>\n"));
	const bad = raftwright.speak(fs.readFileSync(path.join(folder, "sentences.en.toml"), "utf8"));
	if (bad !== undefined) throw bad;
	refused("no moment", raftwright.tend(all[0][0], [], "soon"));
	const answers = all.map((q) => { const t = ms(), a = raftwright.tend(...q); console.log("answered in", (ms() - t).toFixed(0), "ms"); return a; });
	fs.writeFileSync(questions, JSON.stringify(answers));
	process.exit(0);
};
WebAssembly.instantiate(fs.readFileSync(path.join(folder, "bedside.wasm")), go.importObject)
	.then((m) => go.run(m.instance))
	.catch((e) => { console.error(e); process.exit(1); });
