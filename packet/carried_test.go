package packet_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	"github.com/makiuchi-d/gozxing/qrcode"
	qr "github.com/piglig/go-qr"

	"raftwright/answer"
	"raftwright/brief"
	"raftwright/lang"
	"raftwright/packet"
	"raftwright/page"
	"raftwright/plan"
)

func carriedOf(t *testing.T, name string) (*brief.Brief, string, bool) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join("../examples", name+".yaml"))
	if err != nil {
		t.Fatal(err)
	}
	b, faults := brief.Parse(name, text)
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	carried, fits := packet.Carried(b)
	return b, carried, fits
}

// What a code carries is read back from a picture of it by a library that shares nothing with the one that drew it, and the brief
// makes the same plan, to the last byte of its answer.
func TestTheCodeMakesTheSamePlan(t *testing.T) {
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"home", "minimal", "workshop", "escuela"} {
		b, carried, fits := carriedOf(t, name)
		if !fits {
			t.Errorf("%s does not fit", name)
			continue
		}
		q, err := qr.EncodeText(carried, qr.Medium)
		if err != nil {
			t.Fatal(err)
		}
		img, err := q.ToImage(qr.NewQrCodeImgConfig(4, 4))
		if err != nil {
			t.Fatal(err)
		}
		bits, err := gozxing.NewBinaryBitmapFromImage(img)
		if err != nil {
			t.Fatal(err)
		}
		read, err := qrcode.NewQRCodeReader().Decode(bits, nil)
		if err != nil || read.GetText() != carried {
			t.Fatalf("%s: read %v, %v", name, read, err)
		}
		text, _, err := packet.Uncarried([]byte(" " + read.GetText() + "\n"))
		if err != nil {
			t.Fatal(err)
		}
		again, faults := brief.Parse(name, text)
		if len(faults) > 0 {
			t.Fatal(faults)
		}
		answered := func(b *brief.Brief) string {
			p, faults := plan.Make(b, plan.DefaultBook(), nil, plan.Everything)
			if len(faults) > 0 {
				t.Fatal(faults)
			}
			var out bytes.Buffer
			if err := answer.Write(&out, answer.For(p, plan.Everything, words, false)); err != nil {
				t.Fatal(err)
			}
			return out.String()
		}
		if answered(b) != answered(again) {
			t.Errorf("%s: another plan", name)
		}
	}
}

// The steps of size are those of the library, and each module is half a millimeter or more.
func TestCodesAreLargeEnoughForAPhone(t *testing.T) {
	for _, c := range []struct {
		text string
		n    int
	}{{"https://example.org/x", 106}, {"https://example.org/x", 331}, {"https://example.org/x", 666}, {"RAFTWRIGHT1:", 154}, {"RAFTWRIGHT1:", 483}, {"RAFTWRIGHT1:", 970}} {
		fill := "z"
		if c.text == "RAFTWRIGHT1:" {
			fill = "Z"
		}
		text := c.text + strings.Repeat(fill, c.n-len(c.text))
		q, err := qr.EncodeText(text, qr.Medium)
		if err != nil {
			t.Fatal(err)
		}
		side, fits := packet.SideOf(text)
		if mm := side.Length().Millimetres() / float64(q.Size()+8); !fits || mm < 0.499 {
			t.Errorf("%d signs: modules of %.2f mm, %v", c.n, mm, fits)
		}
	}
	if _, fits := packet.SideOf("RAFTWRIGHT1:" + strings.Repeat("Z", 959)); fits {
		t.Error("too many fit")
	}
}

// The first face bears the day, and the code or why there is none.
func TestTheFirstFaceBearsACode(t *testing.T) {
	words, err := lang.For("en", lang.US)
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]bool{"home": true, "market": false} {
		b, _, fits := carriedOf(t, name)
		if fits != want {
			t.Errorf("%s: %v", name, fits)
		}
		p := plan.Job{Brief: b, Book: plan.DefaultBook(), Asked: plan.Everything}.Make(nil)
		for _, address := range []string{"", "https://example.org/bed/17"} {
			codes := 0
			for _, s := range packet.Faces(p, words, packet.Options{Address: address}, "make").Sections {
				codes += codesIn(s.Blocks)
			}
			if (codes == 1) != (want || address != "") {
				t.Errorf("%s, %q: %d codes", name, address, codes)
			}
		}
	}
}

func codesIn(blocks []page.Block) int {
	n := 0
	for _, b := range blocks {
		switch b := b.(type) {
		case page.Code:
			n++
		case page.Beside:
			for _, c := range b.Columns {
				n += codesIn(c)
			}
		}
	}
	return n
}

// RFC 9285, sections 4.3 and 4.4: three texts written, one read, and three that are none.
func TestFortyFiveSigns(t *testing.T) {
	for text, signs := range map[string]string{"AB": "BB8", "Hello!!": "%69 VD92EX0", "base-45": "UJCLQE7W581", "ietf!": "QED8WEX0"} {
		if got := packet.In45([]byte(text)); got != signs {
			t.Errorf("%s: %q", text, got)
		}
		if got, ok := packet.From45(signs); !ok || string(got) != text {
			t.Errorf("%s: %q %v", signs, got, ok)
		}
	}
	for _, bad := range []string{"GGW", "A", "ab", ":::"} {
		if _, ok := packet.From45(bad); ok {
			t.Errorf("%q was read", bad)
		}
	}
}

func FuzzUncarried(f *testing.F) {
	f.Add([]byte("RAFTWRIGHT1:BB8."))
	f.Add([]byte("title: a"))
	f.Fuzz(func(t *testing.T, text []byte) {
		out, packed, err := packet.Uncarried(text)
		if !packed && (err != nil || !bytes.Equal(out, text)) {
			t.Fatalf("%q became %q, %v", text, out, err)
		}
	})
}
