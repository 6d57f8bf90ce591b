// node run.js FOLDER QUESTIONS: puts each question to the engine in the folder and
// writes the answers over them as one JSON list. A question is the list of what
// raftwright.plan is given.
"use strict";
const fs = require("fs"), path = require("path");
const [folder, questions] = process.argv.slice(2);
require(path.resolve(folder, "wasm_exec.js"));
const go = new Go();
globalThis.raftwrightReady = () => {
	const refused = (what, got) => { if (!(got instanceof Error)) throw new Error(what + " is not refused: " + got); };
	refused("a plan without sentences", raftwright.plan(...JSON.parse(fs.readFileSync(questions, "utf8"))[0]));
	refused("a page of a server as sentences", raftwright.speak("<!doctype html>\n"));
	refused("nothing as sentences", raftwright.speak());
	const bad = raftwright.speak(fs.readFileSync(path.join(folder, "sentences.en.toml"), "utf8"));
	if (bad !== undefined) throw bad;
	const answers = JSON.parse(fs.readFileSync(questions, "utf8")).map((q) => raftwright.plan(...q));
	fs.writeFileSync(questions, JSON.stringify(answers));
	process.exit(0);
};
WebAssembly.instantiate(fs.readFileSync(path.join(folder, "engine.wasm")), go.importObject)
	.then((m) => go.run(m.instance))
	.catch((e) => { console.error(e); process.exit(1); });
