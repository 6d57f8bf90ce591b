package pdf

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"strconv"
	"unicode/utf16"
)

// object is one object of the file; its number is its place, from 1.
type object struct {
	body   []byte // of a stream: its dictionary without the ends
	data   []byte // of a stream
	stream bool
	raw    bool // a stream written as it is, for readers that do not unpack
}

// reserve gives the number of an object that is filled later.
func (f *File) reserve() int {
	f.objects = append(f.objects, object{})
	return len(f.objects)
}

func (f *File) fill(n int, body []byte) { f.objects[n-1].body = body }

// Object adds an object to the file and gives its number.
func (f *File) Object(body []byte) int {
	f.objects = append(f.objects, object{body: body})
	return len(f.objects)
}

// Stream adds a stream to the file, packed, and gives its number. The dictionary is
// given without its ends, its length and its filter.
func (f *File) Stream(dictionary, data []byte) int {
	f.objects = append(f.objects, object{body: dictionary, data: data, stream: true})
	return len(f.objects)
}

// refer writes a reference to an object.
func refer(b []byte, n int) []byte { return append(strconv.AppendInt(b, int64(n), 10), " 0 R"...) }

// text writes words as a text string: plain where they are ASCII, else in UTF-16 (ISO
// 32000-1, 7.9.2.2).
func text(b []byte, s string) []byte {
	code := []byte(s)
	for _, c := range code {
		if c < ' ' || c > '~' {
			code = []byte{0xFE, 0xFF}
			for _, u := range utf16.Encode([]rune(s)) {
				code = append(code, byte(u>>8), byte(u))
			}
			break
		}
	}
	b = append(b, '(')
	for _, c := range code {
		switch c {
		case '(', ')', '\\':
			b = append(b, '\\', c)
		case '\r': // a bare one would be read as a line feed
			b = append(b, `\r`...)
		default:
			b = append(b, c)
		}
	}
	return append(b, ')')
}

// packed is how many objects share one stream.
const packed = 500

// place says where an object stands: at a byte, or in an object stream.
type place struct {
	kind     byte // 1: at a byte, 2: in the stream of that number
	at, rank int
}

// emit writes all objects: small ones packed together, then a stream that says where
// each is, with an identifier made of the bytes. The catalogue and the information are
// given by number.
func (f *File) emit(w io.Writer, catalogue, info int) error {
	var out bytes.Buffer
	packer, packs := zlib.NewWriter(nil), f.Packs
	if packs == nil {
		packs = &Packs{}
	}
	out.WriteString("%PDF-1.7\n%\xE2\xE3\xCF\xD3\n")
	places := make([]place, len(f.objects)+1, len(f.objects)+8)
	stream := func(n int, dictionary, data []byte, raw bool) {
		places[n] = place{kind: 1, at: out.Len()}
		filter := ""
		if !raw {
			data, filter = packs.pack(data, packer), "/Filter/FlateDecode"
		}
		fmt.Fprintf(&out, "%d 0 obj\n<<%s%s/Length %d>>stream\n", n, dictionary, filter, len(data))
		out.Write(data)
		out.WriteString("\nendstream\nendobj\n")
	}
	var small []int
	for i, o := range f.objects {
		if o.stream {
			stream(i+1, o.body, o.data, o.raw)
		} else {
			small = append(small, i+1)
		}
	}
	for len(small) > 0 {
		part := small[:min(packed, len(small))]
		small = small[len(part):]
		home := len(places)
		places = append(places, place{})
		var index, bodies []byte
		for rank, n := range part {
			index = append(strconv.AppendInt(append(strconv.AppendInt(index, int64(n), 10), ' '), int64(len(bodies)), 10), ' ')
			bodies = append(append(bodies, f.objects[n-1].body...), '\n')
			places[n] = place{2, home, rank}
		}
		stream(home, fmt.Appendf(nil, "/Type/ObjStm/N %d/First %d", len(part), len(index)), append(index, bodies...), false)
	}
	sum := sha256.Sum256(out.Bytes())
	id := hex.EncodeToString(sum[:16])
	last, start := len(places), out.Len()
	places = append(places, place{kind: 1, at: start})
	table := []byte{0, 0, 0, 0, 0, 0xFF, 0xFF}
	for _, p := range places[1:] {
		table = append(table, p.kind, byte(p.at>>24), byte(p.at>>16), byte(p.at>>8), byte(p.at), byte(p.rank>>8), byte(p.rank))
	}
	stream(last, fmt.Appendf(nil, "/Type/XRef/W[1 4 2]/Size %d/Root %d 0 R/Info %d 0 R/ID[<%s><%s>]", len(places), catalogue, info, id, id), table, false)
	fmt.Fprintf(&out, "startxref\n%d\n%%%%EOF\n", start)
	_, err := w.Write(out.Bytes())
	return err
}
