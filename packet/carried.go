package packet

import (
	"bytes"
	"compress/zlib"
	_ "embed" // the usual words of a brief
	"io"
	"strings"

	"raftwright/brief"
	"raftwright/draw"
	"raftwright/finding"
	"raftwright/page"
)

// A code on the first face carries the brief itself, so that the plan can be made again from
// the paper: bare where it is short, else packed.

// rung is a size of code: its side with a quiet zone of four modules, each of half a millimeter or
// more, and how many signs it carries, of any kind and of the 45 that a code packs closely.
type rung struct {
	side         draw.Points
	bare, packed int
}

// rungs are the codes of versions 6, 13 and 20 with correction M (ISO/IEC 18004, table 7, from memory;
// a test asks the library).
var rungs = [...]rung{{75, 106, 154}, {110, 331, 483}, {150, 666, 970}}

// MostCarried is the longest address that a code on the first face carries, in bytes.
const MostCarried = 666

// sideOf gives the side of the smallest code that carries a text; false where none does.
func sideOf(text string) (draw.Points, bool) {
	packed := strings.HasPrefix(text, packedMark)
	for _, r := range rungs {
		if len(text) <= r.bare || packed && len(text) <= r.packed {
			return r.side, true
		}
	}
	return 0, false
}

// packedMark begins a packed brief, and packedEnd ends it: a blank at the end gets lost.
const (
	packedMark = "RAFTWRIGHT1:"
	packedEnd  = "."
)

// FaultCarried is the fault of a packed brief that was not read whole.
const FaultCarried finding.ID = "file.fault.packed"

// mostUnpacked bounds what a packed brief may grow to.
const mostUnpacked = 1 << 20

// usualWords are what briefs have in common. What was printed is read with them: this text
// stays as it is, and another one has another mark.
//
//go:embed carried1.txt
var usualWords []byte

// Carried gives the text by which a code carries a brief; false where it is too long, or where
// the brief is not whole without the files that it names.
func Carried(b *brief.Brief) (string, bool) {
	text := b.Compact()
	if text == "" || len(b.Named()) > 0 {
		return "", false
	}
	if len(text) <= MostCarried && strings.IndexFunc(text, func(r rune) bool { return r > '~' }) < 0 {
		return text, true
	}
	var out bytes.Buffer
	z, err := zlib.NewWriterLevelDict(&out, zlib.BestCompression, usualWords)
	if err != nil {
		return "", false // no such level
	}
	_, err = io.WriteString(z, text)
	if e := z.Close(); err != nil || e != nil {
		return "", false
	}
	text = packedMark + in45(out.Bytes()) + packedEnd
	_, fits := sideOf(text)
	return text, fits
}

// Uncarried gives the brief that a text from a code carries, and whether the text is a packed
// one at all; any other text is a brief as it stands.
func Uncarried(text []byte) (out []byte, packed bool, err error) {
	body, packed := strings.CutPrefix(strings.TrimSpace(string(text)), packedMark)
	if !packed {
		return text, false, nil
	}
	fault := finding.Fault{ID: FaultCarried}
	data, ok := from45(strings.TrimSuffix(body, packedEnd))
	if !ok {
		return nil, true, fault
	}
	z, err := zlib.NewReaderDict(bytes.NewReader(data), usualWords)
	if err != nil {
		return nil, true, fault
	}
	out, err = io.ReadAll(io.LimitReader(z, mostUnpacked+1))
	if err != nil || len(out) > mostUnpacked {
		return nil, true, fault
	}
	return out, true, nil
}

// signs45 are the signs that a code packs closely, in their order (RFC 9285, table 1).
const signs45 = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:"

// in45 writes two bytes as three signs, a single one as two (RFC 9285).
func in45(data []byte) string {
	var out strings.Builder
	for i := 0; i < len(data); i += 2 {
		n, signs := int(data[i]), 2
		if i+1 < len(data) {
			n, signs = n<<8+int(data[i+1]), 3
		}
		for range signs {
			out.WriteByte(signs45[n%45])
			n /= 45
		}
	}
	return out.String()
}

// from45 reads what in45 writes; false where it is none of that.
func from45(text string) ([]byte, bool) {
	var out []byte
	for len(text) > 0 {
		group := text[:min(3, len(text))]
		text = text[len(group):]
		n := 0
		for i := len(group) - 1; i >= 0; i-- {
			at := strings.IndexByte(signs45, group[i])
			if at < 0 {
				return nil, false
			}
			n = n*45 + at
		}
		switch {
		case len(group) == 3 && n <= 0xffff:
			out = append(out, byte(n>>8), byte(n))
		case len(group) == 2 && n <= 0xff:
			out = append(out, byte(n))
		default:
			return nil, false
		}
	}
	return out, true
}

// imprint is the foot of the first face: day, edition and code of the plan.
func (w writer) imprint() (page.Text, []page.Block) {
	text := w.text("face.make.edition", finding.Args{"Edition": w.p.Edition.String()})
	if !w.printed.IsZero() {
		text = w.text("face.make.printed", finding.Args{"On": w.words.Date(w.printed)}) + " " + text
	}
	if w.screen {
		return text, nil
	}
	code, tell := page.Code{Text: w.address, Alt: w.say("alt.code.address", finding.Args{"Address": w.address})}, "face.make.code_address"
	if w.address == "" {
		code.Text, _ = Carried(w.p.Brief)
		code.Alt, tell = w.say("alt.code.brief", nil), "face.make.code_brief"
	}
	var fits bool
	if code.Size, fits = sideOf(code.Text); code.Text == "" || !fits {
		return text + " " + w.text("face.make.code_none", nil), nil
	}
	return text + " " + w.text(tell, nil), []page.Block{code}
}
