package proof

import (
	"bytes"
	"compress/zlib"
	"errors"
	"flag"
	"io"
	"os"
	"runtime/debug"
	"strconv"
	"strings"
	"testing"
	"unicode/utf16"
)

func TestMain(m *testing.M) {
	if flag.Parse(); testing.Short() {
		debug.SetGCPercent(400) // a little memory for a little time
	}
	os.Exit(m.Run())
}

// What a file is made of: nil, bool, float64, string, name, ref, list, dict, *stream, and
// in the contents of a page also an operator.
type (
	name     string
	ref      int
	operator string
	list     []any
	dict     map[name]any
	stream   struct {
		dict
		data []byte // unpacked
	}
)

// file is a file in memory. It is read by looking for its objects and not by its list of
// places, so that the test is of what stands there.
type file struct {
	objects map[ref]any
	trailer dict
}

// scanner reads values one after another.
type scanner struct {
	b     []byte
	at    int
	depth int
}

type end struct{} // ] or >> or the end of the bytes

const deepest = 60

func blank(c byte) bool { return strings.IndexByte(" \n\r\t\f\x00", c) >= 0 }

// next reads a value or an operator.
func (s *scanner) next() any {
	for s.at < len(s.b) {
		c := s.b[s.at]
		if c == '%' {
			for s.at < len(s.b) && s.b[s.at] != '\n' && s.b[s.at] != '\r' {
				s.at++
			}
		} else if !blank(c) {
			break
		} else {
			s.at++
		}
	}
	if s.at >= len(s.b) || s.depth > deepest {
		s.at = len(s.b)
		return end{}
	}
	c := s.b[s.at]
	s.at++
	switch c {
	case '/':
		return name(s.word())
	case '(':
		return s.literal()
	case '[':
		return list(s.several())
	case ']', '>', '{', '}', ')':
		if c == '>' && s.at < len(s.b) && s.b[s.at] == '>' {
			s.at++
		}
		return end{}
	case '<':
		if s.at < len(s.b) && s.b[s.at] == '<' {
			s.at++
			parts := s.several()
			d := dict{}
			for i := 0; i+1 < len(parts); i += 2 {
				if key, ok := parts[i].(name); ok {
					d[key] = parts[i+1]
				}
			}
			return d
		}
		return s.hex()
	}
	s.at--
	w := s.word()
	if x, err := strconv.ParseFloat(w, 64); err == nil {
		return x
	}
	switch w {
	case "true":
		return true
	case "false":
		return false
	case "null":
		return nil
	}
	return operator(w)
}

// several reads values up to a bracket; three of them may be a reference.
func (s *scanner) several() []any {
	s.depth++
	defer func() { s.depth-- }()
	var out []any
	for {
		v := s.next()
		if v == any(end{}) {
			return out
		}
		if n := len(out); v == any(operator("R")) && n >= 2 {
			x, _ := out[n-2].(float64)
			out = append(out[:n-2], ref(x))
			continue
		}
		out = append(out, v)
	}
}

func (s *scanner) word() string {
	from := s.at
	for s.at < len(s.b) && !blank(s.b[s.at]) && strings.IndexByte("()<>[]{}/%", s.b[s.at]) < 0 {
		s.at++
	}
	return string(s.b[from:s.at])
}

func (s *scanner) hex() string {
	var digits []byte
	for s.at < len(s.b) && s.b[s.at] != '>' {
		if !blank(s.b[s.at]) {
			digits = append(digits, s.b[s.at])
		}
		s.at++
	}
	s.at = min(s.at+1, len(s.b))
	if len(digits)%2 == 1 {
		digits = append(digits, '0')
	}
	out := make([]byte, 0, len(digits)/2)
	for i := 0; i < len(digits); i += 2 {
		x, _ := strconv.ParseUint(string(digits[i:i+2]), 16, 8)
		out = append(out, byte(x))
	}
	return string(out)
}

func (s *scanner) literal() string {
	var out []byte
	for open := 1; s.at < len(s.b); {
		c := s.b[s.at]
		s.at++
		switch {
		case c == '(':
			open++
		case c == ')':
			if open--; open == 0 {
				return string(out)
			}
		case c == '\\' && s.at < len(s.b):
			c = s.b[s.at]
			s.at++
			if i := strings.IndexByte("nrtbf", c); i >= 0 {
				c = "\n\r\t\b\f"[i]
			}
		}
		out = append(out, c)
	}
	return string(out)
}

// read finds the objects of a file.
func read(data []byte) (*file, error) {
	f := &file{objects: map[ref]any{}, trailer: dict{}}
	var packs []*stream
	for at := 0; ; {
		i := bytes.Index(data[at:], []byte(" obj"))
		if i < 0 {
			break
		}
		head := data[:at+i]
		at += i + len(" obj")
		head = head[:max(bytes.LastIndexByte(head, ' '), 0)] // without the generation
		n, err := strconv.Atoi(string(head[bytes.LastIndexAny(head, "\n\r ")+1:]))
		if err != nil {
			continue
		}
		s := &scanner{b: data, at: at}
		v := s.next()
		at = s.at
		if d, ok := v.(dict); ok {
			if body, found := bytes.CutPrefix(bytes.TrimLeft(data[s.at:], " \r\n"), []byte("stream")); found {
				one, err := unpack(d, bytes.TrimPrefix(bytes.TrimPrefix(body, []byte("\r")), []byte("\n")))
				if err != nil {
					return nil, err
				}
				at = len(data) - len(body)
				if size, ok := d["Length"].(float64); ok && size >= 0 && int(size) <= len(body) {
					at += int(size)
				}
				v = one
				switch d["Type"] {
				case name("ObjStm"):
					packs = append(packs, one)
				case name("XRef"):
					f.trailer = d
				}
			}
		}
		f.objects[ref(n)] = v
	}
	for _, p := range packs {
		f.unfold(p)
	}
	if f.dict(f.trailer["Root"]) == nil {
		return nil, errors.New("no catalogue")
	}
	return f, nil
}

func unpack(d dict, body []byte) (*stream, error) {
	size, _ := d["Length"].(float64)
	if size < 0 || int(size) > len(body) {
		return nil, errors.New("a stream ends too early")
	}
	body = body[:int(size)]
	if d["Filter"] == name("FlateDecode") {
		z, err := zlib.NewReader(bytes.NewReader(body))
		if err != nil {
			return nil, err
		}
		if body, err = io.ReadAll(io.LimitReader(z, 64<<20)); err != nil {
			return nil, err
		}
	}
	return &stream{d, body}, nil
}

// unfold reads the objects packed in a stream.
func (f *file) unfold(p *stream) {
	first, _ := p.dict["First"].(float64)
	index := &scanner{b: p.data}
	for {
		n, ok := index.next().(float64)
		at, also := index.next().(float64)
		if !ok || !also || index.at > int(first) || at < 0 || first+at > float64(len(p.data)) {
			return
		}
		f.objects[ref(n)] = (&scanner{b: p.data, at: int(first + at)}).next()
	}
}

// get follows references.
func (f *file) get(v any) any {
	for range 10 {
		r, ok := v.(ref)
		if !ok {
			return v
		}
		v = f.objects[r]
	}
	return nil
}

func (f *file) dict(v any) dict {
	switch x := f.get(v).(type) {
	case dict:
		return x
	case *stream:
		return x.dict
	}
	return nil
}

func (f *file) list(v any) list {
	l, _ := f.get(v).(list)
	return l
}

// several gives the members of a list, or the one thing that stands in place of one.
func (f *file) several(v any) list {
	switch x := f.get(v).(type) {
	case nil:
		return nil
	case list:
		return x
	}
	return list{v}
}

func (f *file) name(v any) string {
	n, _ := f.get(v).(name)
	return string(n)
}

// text gives the words of a text string.
func (f *file) text(v any) string {
	s, _ := f.get(v).(string)
	if rest, ok := strings.CutPrefix(s, "\xFE\xFF"); ok {
		return wide(rest)
	}
	return s
}

func wide(s string) string {
	var units []uint16
	for i := 0; i+1 < len(s); i += 2 {
		units = append(units, uint16(s[i])<<8|uint16(s[i+1]))
	}
	return string(utf16.Decode(units))
}

func number(v any) float64 {
	x, _ := v.(float64)
	return x
}
