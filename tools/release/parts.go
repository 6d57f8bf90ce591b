package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	cdx "github.com/CycloneDX/cyclonedx-go"
	"github.com/google/uuid"
)

// module is something that is built into the program, with its license.
type module struct {
	Path, Version, Dir string

	license string // as SPDX names it
	text    string // of all its license files
}

// ours are the data and letters that stand in the repository under another license than
// its own, or that ask to be named.
var ours = []struct{ name, file, license string }{
	{"Places and climate of the United States", "sky/places/NOTICE.md", ""},
	{"Source Sans 3 and the letters made from it", "press/letters/OFL.txt", "OFL-1.1"},
}

// modules lists what is built into the program for any of the targets, in the order of
// the alphabet, Go itself first.
func modules(ts []target) ([]module, error) {
	found := map[string]module{}
	for _, t := range ts {
		c := exec.Command("go", "list", "-deps", "-json=Module", "./cmd/raftwright")
		c.Env = t.environment()
		out, err := c.Output()
		if err != nil {
			return nil, fmt.Errorf("go list for %s: %w", t, err)
		}
		for d := json.NewDecoder(bytes.NewReader(out)); ; {
			var p struct {
				Module *struct {
					Path, Version, Dir string
					Main               bool
				}
			}
			if err := d.Decode(&p); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				return nil, err
			}
			if m := p.Module; m != nil && !m.Main {
				found[m.Path] = module{Path: m.Path, Version: m.Version, Dir: m.Dir}
			}
		}
	}
	out, err := exec.Command("go", "env", "GOROOT", "GOVERSION").Output()
	if err != nil {
		return nil, err
	}
	root, version, _ := strings.Cut(strings.TrimSpace(string(out)), "\n")
	all := []module{{Path: "std", Version: strings.TrimPrefix(version, "go"), Dir: root}}
	for _, m := range found {
		all = append(all, m)
	}
	slices.SortFunc(all[1:], func(a, b module) int { return strings.Compare(a.Path, b.Path) })
	for i := range all {
		if err := all[i].licensed(); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// licenseFiles are the names under which licenses and notices lie, without their ends.
var licenseFiles = []string{"license", "licence", "copying", "notice", "unlicense", "patents"}

// licensed reads the license of a module. One without, or with one that is not known, may
// not be built in before somebody has read it.
func (m *module) licensed() error {
	files, err := os.ReadDir(m.Dir)
	if err != nil {
		return err
	}
	for _, f := range files {
		name, _, _ := strings.Cut(strings.ToLower(f.Name()), ".")
		name, _, _ = strings.Cut(name, "-")
		if f.IsDir() || !slices.Contains(licenseFiles, name) || strings.HasSuffix(f.Name(), ".go") {
			continue
		}
		text, err := os.ReadFile(filepath.Join(m.Dir, f.Name()))
		if err != nil {
			return err
		}
		m.text += strings.TrimSpace(strings.ReplaceAll(string(text), "\r\n", "\n")) + "\n"
		if id := spdx(string(text)); id != "" && m.license == "" {
			m.license = id
		}
	}
	if m.license == "" {
		return fmt.Errorf("%s: its license is not known: read it, and name it in spdx", m.Path)
	}
	return nil
}

// spdx gives the name that SPDX has for a license, by words that no other has; "" where it
// is not one of those that we know.
func spdx(text string) string {
	text = strings.Join(strings.Fields(text), " ")
	has := func(words string) bool { return strings.Contains(text, words) }
	switch {
	case has("Apache License Version 2.0"):
		return "Apache-2.0"
	case has("Mozilla Public License Version 2.0"), has("Mozilla Public License, version 2.0"):
		return "MPL-2.0"
	case has("SIL OPEN FONT LICENSE Version 1.1"):
		return "OFL-1.1"
	case has("Permission is hereby granted, free of charge"):
		return "MIT"
	case has("Permission to use, copy, modify, and/or distribute this software for any purpose"):
		return "ISC"
	case has("Redistribution and use in source and binary forms") && (has("endorse or promote") || has("used to endorse")):
		return "BSD-3-Clause"
	case has("Redistribution and use in source and binary forms"):
		return "BSD-2-Clause"
	case has("This is free and unencumbered software released into the public domain"):
		return "Unlicense"
	}
	return ""
}

// notices writes one text with the licenses of all that is built in.
func notices(ts []target) ([]byte, error) {
	all, err := modules(ts)
	if err != nil {
		return nil, err
	}
	var out bytes.Buffer
	chapter := func(name, license, text string) {
		fmt.Fprintf(&out, "\n%s\n%s", strings.Repeat("=", 78), name)
		if license != "" {
			fmt.Fprintf(&out, " (%s)", license)
		}
		fmt.Fprintf(&out, "\n%s\n\n%s\n", strings.Repeat("=", 78), strings.TrimSpace(text))
	}
	own, err := os.ReadFile("LICENSE")
	if err != nil {
		return nil, err
	}
	out.WriteString("The licenses of Raftwright and of all that is built into it.\n")
	chapter("Raftwright", "Apache-2.0", string(own))
	for _, o := range ours {
		text, err := os.ReadFile(o.file)
		if err != nil {
			return nil, err
		}
		chapter(o.name, o.license, string(text))
	}
	for _, m := range all {
		name := m.Path + " " + m.Version
		if m.Path == "std" {
			name = "Go, its standard library" // whichever edition of it builds
		}
		chapter(name, m.license, m.text)
	}
	return out.Bytes(), nil
}

// bill writes the bill of materials in the form of CycloneDX 1.6 (ECMA-424). Nothing in it
// is of the day or by chance: number and time are those of the commit.
func bill(e edition, ts []target) ([]byte, error) {
	all, err := modules(ts)
	if err != nil {
		return nil, err
	}
	licensed := func(id string) *cdx.Licenses { return &cdx.Licenses{{License: &cdx.License{ID: id}}} }
	own := cdx.Component{BOMRef: "raftwright", Type: cdx.ComponentTypeApplication, Name: "raftwright", Version: e.version(), Licenses: licensed("Apache-2.0")}
	b := cdx.NewBOM()
	b.SerialNumber = "urn:uuid:" + uuid.NewSHA1(uuid.NameSpaceURL, []byte("raftwright "+e.commit)).String()
	b.Metadata = &cdx.Metadata{Timestamp: e.made.Format("2006-01-02T15:04:05Z"), Component: &own}
	var parts []cdx.Component
	var refs []string
	for _, m := range all {
		ref := "pkg:golang/" + m.Path + "@" + m.Version
		refs = append(refs, ref)
		parts = append(parts, cdx.Component{BOMRef: ref, PackageURL: ref, Type: cdx.ComponentTypeLibrary, Name: m.Path, Version: m.Version, Licenses: licensed(m.license)})
	}
	for _, o := range ours {
		part := cdx.Component{BOMRef: o.file, Type: cdx.ComponentTypeData, Name: o.name}
		if o.license != "" {
			part.Licenses = licensed(o.license)
		}
		refs = append(refs, o.file)
		parts = append(parts, part)
	}
	b.Components = &parts
	b.Dependencies = &[]cdx.Dependency{{Ref: "raftwright", Dependencies: &refs}}
	var out bytes.Buffer
	if err := cdx.NewBOMEncoder(&out, cdx.BOMFileFormatJSON).SetPretty(true).EncodeVersion(b, cdx.SpecVersion1_6); err != nil {
		return nil, err
	}
	return out.Bytes(), nil
}
