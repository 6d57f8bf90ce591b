package letters

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"slices"
)

// Woff packs a TrueType face of this package as WOFF 1.0 (W3C Recommendation, 13 December
// 2012), with only the letters that are said: other outlines are left empty. Kerning and
// ligatures are left out.
func Woff(face []byte, said []rune) []byte {
	tables := map[string][]byte{}
	for i := range int(u16(face, 4)) {
		at := 12 + 16*i
		from := u32(face, at+8)
		tables[string(face[at:at+4])] = face[from : from+u32(face, at+12)]
	}
	glyphs := map[rune]uint16{}
	used := map[uint16]bool{0: true}
	for _, r := range said {
		if g := glyphOf(tables["cmap"], r); g != 0 {
			glyphs[r], used[g] = g, true
		}
	}
	outlines(tables, used)
	tables["cmap"] = charmap(glyphs)
	tables["post"] = append([]byte{0, 3, 0, 0}, tables["post"][4:32]...) // 3: without names of glyphs
	return pack(tables)
}

func u16(b []byte, at int) uint16 { return binary.BigEndian.Uint16(b[at:]) }
func u32(b []byte, at int) uint32 { return binary.BigEndian.Uint32(b[at:]) }

// glyphOf looks a letter up in the segments of a cmap of format 4 (OpenType 1.9, cmap), 0
// where it has none.
func glyphOf(cmap []byte, r rune) uint16 {
	for i := range int(u16(cmap, 2)) {
		t := cmap[u32(cmap, 4+8*i+4):]
		if u16(t, 0) != 4 {
			continue
		}
		twice := int(u16(t, 6)) // of the segments
		for s := 0; s < twice; s += 2 {
			if rune(u16(t, 14+s)) < r {
				continue
			}
			from, delta, ranges := 16+twice+s, 16+2*twice+s, 16+3*twice+s
			switch first := rune(u16(t, from)); {
			case first > r:
				return 0
			case u16(t, ranges) == 0:
				return uint16(r) + u16(t, delta)
			default:
				if g := u16(t, ranges+int(u16(t, ranges))+2*int(r-first)); g != 0 {
					return g + u16(t, delta)
				}
				return 0
			}
		}
	}
	return 0
}

// outlines keeps the outlines and the widths of these glyphs and of those that they are put
// together from.
func outlines(tables map[string][]byte, used map[uint16]bool) {
	head, loca, glyf := slices.Clone(tables["head"]), tables["loca"], tables["glyf"]
	place := func(g int) uint32 {
		if u16(head, 50) == 0 {
			return 2 * uint32(u16(loca, 2*g))
		}
		return u32(loca, 4*g)
	}
	outline := func(g int) []byte { return glyf[place(g):place(g+1)] }
	for open := keys(used); len(open) > 0; {
		g := open[0]
		open = open[1:]
		for _, p := range parts(outline(int(g))) {
			if !used[p] {
				used[p], open = true, append(open, p)
			}
		}
	}
	n := int(u16(tables["maxp"], 4))
	wide := int(u16(tables["hhea"], 34))
	widths := slices.Clone(tables["hmtx"])
	var kept, places []byte
	for g := range n {
		places = binary.BigEndian.AppendUint32(places, uint32(len(kept)))
		switch {
		case used[uint16(g)]:
			kept = append(kept, outline(g)...)
			for len(kept)%4 != 0 {
				kept = append(kept, 0)
			}
		case g < wide:
			clear(widths[4*g : 4*g+4])
		}
	}
	places = binary.BigEndian.AppendUint32(places, uint32(len(kept)))
	binary.BigEndian.PutUint16(head[50:], 1) // places in four bytes
	tables["head"], tables["glyf"], tables["loca"], tables["hmtx"] = head, kept, places, widths
}

// parts gives the glyphs that a composite glyph is put together from (OpenType 1.9, glyf).
func parts(outline []byte) []uint16 {
	if len(outline) < 10 || int16(u16(outline, 0)) >= 0 {
		return nil
	}
	const words, scale, more, scales, matrix = 1 << 0, 1 << 3, 1 << 5, 1 << 6, 1 << 7
	var out []uint16
	for at := 10; ; {
		flags := u16(outline, at)
		out = append(out, u16(outline, at+2))
		at += 6
		if flags&words != 0 {
			at += 2
		}
		switch {
		case flags&scale != 0:
			at += 2
		case flags&scales != 0:
			at += 4
		case flags&matrix != 0:
			at += 8
		}
		if flags&more == 0 {
			return out
		}
	}
}

func keys[K uint16 | rune | string, V any](m map[K]V) []K {
	out := make([]K, 0, len(m))
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// charmap makes a cmap of format 4, a segment for each letter.
func charmap(glyphs map[rune]uint16) []byte {
	letters := keys(glyphs)
	n := len(letters) + 1 // and the last one, which every cmap has
	ends, starts, deltas := []byte{}, []byte{}, []byte{}
	for _, r := range letters {
		ends = binary.BigEndian.AppendUint16(ends, uint16(r))
		starts = binary.BigEndian.AppendUint16(starts, uint16(r))
		deltas = binary.BigEndian.AppendUint16(deltas, glyphs[r]-uint16(r))
	}
	ends, starts, deltas = append(ends, 0xff, 0xff), append(starts, 0xff, 0xff), append(deltas, 0, 1)
	search, log := 1, 0
	for ; 2*search <= n; search *= 2 {
		log++
	}
	out := []byte{0, 0, 0, 1, 0, 3, 0, 1, 0, 0, 0, 12} // one table, of Windows, Unicode
	for _, v := range []int{4, 16 + 8*n, 0, 2 * n, 2 * search, log, 2 * (n - search)} {
		out = binary.BigEndian.AppendUint16(out, uint16(v))
	}
	return slices.Concat(out, ends, []byte{0, 0}, starts, deltas, make([]byte, 2*n))
}

// kept are the tables of the packed face.
var kept = []string{"OS/2", "cmap", "gasp", "glyf", "head", "hhea", "hmtx", "loca", "maxp", "name", "post", "prep"}

// pack writes tables as a WOFF file.
func pack(tables map[string][]byte) []byte {
	const head, entry = 44, 20
	at, whole := head+entry*len(kept), 12+16*len(kept)
	var index, data []byte
	var small bytes.Buffer
	z, _ := zlib.NewWriterLevel(&small, zlib.BestCompression) // a level that there is; one for all, since its tables are large
	for _, name := range kept {
		t := tables[name]
		sum, full := uint32(0), append(slices.Clone(t), make([]byte, -len(t)&3)...)
		for i := 0; i < len(full); i += 4 {
			sum += u32(full, i)
		}
		small.Reset()
		z.Reset(&small)
		_, _ = z.Write(t) // a buffer takes everything
		_ = z.Close()
		written := small.Bytes()
		if len(written) >= len(t) {
			written = t
		}
		index = append(index, name...)
		for _, v := range []int{at + len(data), len(written), len(t)} {
			index = binary.BigEndian.AppendUint32(index, uint32(v))
		}
		index = binary.BigEndian.AppendUint32(index, sum)
		data = append(append(data, written...), make([]byte, -len(written)&3)...)
		whole += len(full)
	}
	out := []byte("wOFF\x00\x01\x00\x00")
	out = binary.BigEndian.AppendUint32(out, uint32(at+len(data)))
	out = binary.BigEndian.AppendUint16(out, uint16(len(kept)))
	out = binary.BigEndian.AppendUint32(append(out, 0, 0), uint32(whole))
	return slices.Concat(out, make([]byte, 24), index, data)
}
