package main

import (
	"bytes"
	"compress/gzip"
	"embed"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
)

//go:embed deb
var debFiles embed.FS

// pack makes the package of a target for Debian with dpkg-deb, packed at a level of xz, 0 for not at all. Where that is not there no
// package is made, and that is told.
func pack(folder string, t target, e edition, level int) error {
	if _, err := exec.LookPath("dpkg-deb"); err != nil {
		fmt.Fprintf(os.Stderr, "release: no package for %s: dpkg-deb is not installed\n", t)
		return nil
	}
	root, err := os.MkdirTemp("", "deb")
	if err != nil {
		return err
	}
	defer os.RemoveAll(root)
	if err := os.Chmod(root, 0o755); err != nil {
		return err
	}
	put := func(name string, data []byte, mode os.FileMode) {
		if err != nil {
			return
		}
		name = filepath.Join(root, name)
		if err = os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
			return
		}
		if err = os.WriteFile(name, data, mode); err == nil {
			err = os.Chmod(name, mode) // whatever the mask of who builds
		}
	}
	read := func(name string) []byte {
		data, wrong := os.ReadFile(filepath.Join(folder, name))
		if err == nil {
			err = wrong
		}
		return data
	}
	own := func(name string) []byte {
		data, wrong := debFiles.ReadFile("deb/" + name)
		if err == nil {
			err = wrong
		}
		return data
	}
	binary := read(t.file(e))
	put("usr/bin/raftwright", binary, 0o755)
	put("usr/share/man/man1/raftwright.1.gz", squeezed(read("raftwright.1")), 0o644)
	put("usr/share/man/es/man1/raftwright.1.gz", squeezed(read("raftwright.es.1")), 0o644)
	put("usr/share/bash-completion/completions/raftwright", read("raftwright.bash"), 0o644)
	put("usr/share/zsh/vendor-completions/_raftwright", read("raftwright.zsh"), 0o644)
	put("usr/share/fish/vendor_completions.d/raftwright.fish", read("raftwright.fish"), 0o644)
	put("usr/share/doc/raftwright/copyright", read("LICENSES.txt"), 0o644)
	put("usr/lib/systemd/system/raftwright.service", own("raftwright.service"), 0o644)
	put("etc/default/raftwright", own("default"), 0o644)
	put("DEBIAN/conffiles", []byte("/etc/default/raftwright\n"), 0o644)
	put("DEBIAN/postinst", own("postinst"), 0o755)
	put("DEBIAN/prerm", own("prerm"), 0o755)
	put("DEBIAN/control", []byte(fmt.Sprintf(`Package: raftwright
Version: %s
Architecture: %s
Maintainer: The makers of Raftwright
Section: science
Priority: optional
Installed-Size: %d
Description: plans floating raft beds
 From a brief to a plan, a packet for the printer and advice from readings.
 The program alone opens in the browser; a service of the system serves an
 office. It needs no other package.
`, e.version(), t.deb, len(binary)>>10)), 0o644)
	if err != nil {
		return err
	}
	how := []string{"-Zxz", "-z" + strconv.Itoa(level)}
	if level == 0 {
		how = []string{"-Znone"}
	}
	c := exec.Command("dpkg-deb", append(how, "--root-owner-group", "--build", root, filepath.Join(folder, "raftwright_"+e.version()+"_"+t.deb+".deb"))...)
	c.Env = append(os.Environ(), "SOURCE_DATE_EPOCH="+strconv.FormatInt(e.made.Unix(), 10), "XZ_OPT=", "XZ_DEFAULTS=")
	return ran(c)
}

// squeezed compresses with no name and no time in it.
func squeezed(data []byte) []byte {
	var out bytes.Buffer
	w, _ := gzip.NewWriterLevel(&out, gzip.BestCompression) // the level is one that there is
	_, _ = w.Write(data)                                    // memory takes all
	_ = w.Close()
	return out.Bytes()
}
