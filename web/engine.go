package web

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strings"
	"sync"

	"github.com/andybalholm/brotli"
)

// The engine for the bed (cmd/bedside) is built from this source and is not kept with it: a
// program that is released has it inside, one that is built without it shows phones the last
// advice of the server alone (docs/offline.md).
//
//go:generate go run raftwright/cmd/bedside engine
//go:embed engine
var builtEngine embed.FS

// packed ends the name of a file that is kept as it is sent, packed with brotli.
const packed = ".br"

// engines are the files of an engine by their address, and the addresses by their names.
type engines struct {
	once  sync.Once
	files map[string]asset
	names map[string]string
}

// engine reads the files of the engine, once.
func (h *House) engine() *engines {
	e := &h.engines
	e.once.Do(func() {
		e.files, e.names = map[string]asset{}, map[string]string{}
		from := h.Engine
		if from == nil {
			from, _ = fs.Sub(builtEngine, "engine")
		}
		list, _ := fs.Glob(from, "*.*")
		for _, file := range list {
			data, err := fs.ReadFile(from, file)
			name := strings.TrimSuffix(file, packed)
			ext := path.Ext(name)
			if err != nil || ext == ".txt" {
				continue
			}
			sum := sha256.Sum256(data)
			at := "/engine/" + strings.TrimSuffix(name, ext) + "." + hex.EncodeToString(sum[:6]) + ext
			kind := map[string]string{".wasm": "application/wasm", ".toml": "text/plain; charset=utf-8"}[ext]
			if kind == "" {
				kind = mime.TypeByExtension(ext)
			}
			e.files[at], e.names[name] = asset{kind: kind, data: data, packed: file != name}, at
		}
	})
	return e
}

// engineFor gives the addresses of the engine and its sentences in a language; nil where this
// program has none inside.
func (h *House) engineFor(language string) map[string]string {
	names := h.engine().names
	out := map[string]string{"engine": names["bedside.wasm"], "exec": names["wasm_exec.js"], "words": names["sentences."+language+".toml"]}
	for _, at := range out {
		if at == "" {
			return nil
		}
	}
	return out
}

// serveEngine sends a file of the engine.
func (h *House) serveEngine(w http.ResponseWriter, r *http.Request) {
	a, ok := h.engine().files[r.URL.Path]
	if !ok {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", a.kind)
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	switch {
	case !a.packed:
		w.Write(a.data)
	case strings.Contains(r.Header.Get("Accept-Encoding"), "br"):
		w.Header().Set("Content-Encoding", "br")
		w.Write(a.data)
	default:
		io.Copy(w, brotli.NewReader(bytes.NewReader(a.data)))
	}
}

// serveWorker sends the script that holds pages on a phone, with the names of the files that
// go with it.
func serveWorker(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
	w.Header().Set("Cache-Control", "no-cache")
	script, _ := worker()
	io.WriteString(w, script)
}
