//go:build !js

package lang

import (
	"embed"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"path"
	"slices"
	"strings"
	"sync"
)

//go:embed */*.toml
var sentences embed.FS

// shelf holds the book of every language that has a folder.
var shelf = sync.OnceValues(func() (map[string]reading, error) { return books(sentences) })

// Languages lists the tags of the languages that there are sentences in, sorted.
func Languages() []string {
	all, err := shelf()
	if err != nil {
		return nil
	}
	return slices.Sorted(maps.Keys(all))
}

// reading gives a book, which is read when it is first asked for.
type reading func() (book, error)

// books finds the languages: a folder of sentences each, named by its tag.
func books(from fs.FS) (map[string]reading, error) {
	folders, err := fs.ReadDir(from, ".")
	all := map[string]reading{}
	for _, f := range folders {
		tag := f.Name()
		all[tag] = sync.OnceValues(func() (book, error) { return readBook(from, tag) })
	}
	return all, err
}

// readBook reads the files of a language, but those that are named.
func readBook(from fs.FS, tag string, without ...string) (book, error) {
	files, err := fs.ReadDir(from, tag)
	if err != nil {
		return nil, fmt.Errorf("lang: %w", err)
	}
	b, part := make(book, 4096), make([]byte, 8<<10)
	for _, f := range files {
		if slices.Contains(without, f.Name()) {
			continue
		}
		name := path.Join(tag, f.Name())
		in, err := from.Open(name)
		if err != nil {
			return nil, fmt.Errorf("lang: %w", err)
		}
		var text strings.Builder // the text is held once: the sentences are pieces of it
		if info, err := in.Stat(); err == nil {
			text.Grow(int(info.Size()))
		}
		if _, err = io.CopyBuffer(&text, in, part); err == nil {
			err = b.read(name, text.String())
		}
		if err != nil {
			return nil, fmt.Errorf("lang: %w", err)
		}
	}
	return b, nil
}

// For makes a printer. A language without a folder of sentences prints in
// English, and the plan says so to the reader.
func For(lang string, units Units) (*Printer, error) {
	all, err := shelf()
	if err != nil {
		return nil, err
	}
	return speak(all, lang, units)
}

func speak(all map[string]reading, lang string, units Units) (*Printer, error) {
	if all[lang] == nil {
		lang = "en"
	}
	p := &Printer{Language: lang, Units: units, marks: marksOf(lang)}
	for _, tag := range slices.Compact([]string{lang, "en"}) {
		b, err := all[tag]()
		if err != nil {
			return nil, err
		}
		p.sentences = append(p.sentences, b)
	}
	return p, nil
}

// Bundles gives the text of a bundle for each language (see Bundle), by its tag,
// without the sentences of the files that are named.
func Bundles(without ...string) (map[string]string, error) { return bundles(sentences, without...) }

func bundles(from fs.FS, without ...string) (map[string]string, error) {
	folders, err := fs.ReadDir(from, ".")
	if err != nil {
		return nil, fmt.Errorf("lang: %w", err)
	}
	english, err := readBook(from, "en", without...)
	if err != nil {
		return nil, err
	}
	all := map[string]string{}
	for _, f := range folders {
		own, err := readBook(from, f.Name(), without...)
		if err != nil {
			return nil, err
		}
		for id, text := range english {
			if !own.knows(id) {
				own[id] = text
			}
		}
		all[f.Name()] = own.write(f.Name())
	}
	return all, nil
}

// knows tells whether a book has a sentence for the ID, in whatever form: a form of
// another language does not belong beside it.
func (b book) knows(id string) bool {
	_, ok := b[strings.TrimSuffix(strings.TrimSuffix(id, ".one"), ".many")]
	return ok
}

// write gives the text that ReadBundle reads, by ID.
func (b book) write(tag string) string {
	var out strings.Builder
	fmt.Fprintf(&out, "%s = %q\n", languageOfBundle, tag)
	for _, id := range slices.Sorted(maps.Keys(b)) {
		name := id
		if b[id+".one"] != "" || b[id+".many"] != "" {
			name += ".other" // TOML has no sentence that is a table too
		}
		fmt.Fprintf(&out, "%s = \"%s\"\n", name, b[id])
	}
	return out.String()
}
