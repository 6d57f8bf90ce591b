package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"mime"
	"net/http"
	"path"
	"strings"
	"sync"

	"raftwright/press"
	"raftwright/press/letters"
)

//go:embed static
var staticFiles embed.FS

// asset is a file that pages load, under a name that changes with what is in it.
type asset struct {
	kind   string
	data   []byte
	packed bool // kept as it is sent, with brotli
}

// assets gives them by their name on the server, and those names by ours.
var assets = sync.OnceValues(func() (map[string]asset, map[string]string) {
	files, names := map[string]asset{}, map[string]string{}
	put := func(name string, data []byte) {
		sum := sha256.Sum256(data)
		ext := path.Ext(name)
		served := "/static/" + strings.TrimSuffix(name, ext) + "." + hex.EncodeToString(sum[:6]) + ext
		files[served] = asset{kind: mime.TypeByExtension(ext), data: data}
		names[name] = served
	}
	list, err := staticFiles.ReadDir("static")
	if err != nil {
		panic(err) // it is embedded: a mistake of ours that every test sees
	}
	for name, face := range map[string][]byte{"letters.woff": letters.Regular, "letters-bold.woff": letters.Bold} {
		put(name, letters.Woff(face, said()))
	}
	for _, pass := range []bool{false, true} { // style sheets name fonts: they come last
		for _, f := range list {
			if isStyle := path.Ext(f.Name()) == ".css"; isStyle != pass {
				continue
			}
			data, err := staticFiles.ReadFile("static/" + f.Name())
			if err != nil {
				panic(err)
			}
			if pass {
				for ours, served := range names {
					data = []byte(strings.ReplaceAll(string(data), "url("+ours+")", "url("+served+")"))
				}
			}
			put(f.Name(), data)
		}
	}
	put("pressed.css", []byte(pressedStyle()))
	return files, names
})

// said are the letters that pages are set in: those of English and Spanish, fractions and
// signs. What else a person writes is shown in a face of their own device.
func said() []rune {
	out := []rune("áéíóúüñÁÉÍÓÚÜÑ¿¡½¼¾⅛⅜⅝⅞×≈≤≥±°²³µ′″✓→←–—“”‘’…·\u00a0₂₃₄")
	for r := ' '; r <= '~'; r++ {
		out = append(out, r)
	}
	return out
}

// pressedStyle is the style of what the press makes, kept to where it stands on a page of
// ours and with the page's own ink and paper.
func pressedStyle() string {
	var out strings.Builder
	out.WriteString("@layer pressed { @scope (.pressed) {\n")
	for line := range strings.Lines(press.Style()) {
		switch {
		case strings.HasPrefix(line, ":root"), strings.HasPrefix(line, "html"), strings.HasPrefix(line, "body"), strings.HasPrefix(line, "main"), strings.Contains(line, "prefers-color-scheme"):
			continue
		}
		out.WriteString(line)
	}
	out.WriteString("} }\n")
	return out.String()
}

// staticName gives the name under which a file is served.
func staticName(name string) string {
	_, names := assets()
	return names[name]
}

func serveStatic(w http.ResponseWriter, r *http.Request) {
	files, _ := assets()
	a, ok := files[r.URL.Path]
	if !ok {
		http.NotFound(w, r)
		return
	}
	w.Header().Set("Content-Type", a.kind)
	w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	w.Write(a.data)
}
