package packet_test

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"raftwright/lang"
	"raftwright/packet"
	"raftwright/press/paper"
)

// inks are the grays in which the pictures of the faces are kept.
var inks = color.Palette{color.Gray{0}, color.Gray{85}, color.Gray{170}, color.Gray{255}}

// mostOther is the share of dots that may be unlike: a hinting of letters, not a word.
const mostOther = 0.004

// The ten faces of the demonstration look as they did when a person last looked, at 100 dots an
// inch in gray. -update writes the pictures anew: look at them.
func TestGoldenFacesLookAlike(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	program, err := exec.LookPath("pdftoppm")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("pdftoppm is missing: ./check installs it")
		}
		t.Skip("pdftoppm is missing: ./check installs it")
	}
	var file bytes.Buffer
	if err := paper.PDF(packet.Faces(planOf(t, "../examples/demo.yaml"), words(t, lang.US), packet.Options{}), &file); err != nil {
		t.Fatal(err)
	}
	faces := 10
	if testing.Short() {
		faces = 2 // the check looks at all
	}
	c := exec.Command(program, "-l", strconv.Itoa(faces), "-r", "100", "-gray", "-png", "-", filepath.Join(t.TempDir(), "face"))
	c.Stdin = &file
	if out, err := c.CombinedOutput(); err != nil {
		t.Fatalf("pdftoppm: %v: %s", err, out)
	}
	made, err := filepath.Glob(c.Args[len(c.Args)-1] + "-*.png")
	if err != nil || len(made) != faces {
		t.Fatalf("%d faces, %v", len(made), err)
	}
	for i, path := range made {
		kept := filepath.Join("testdata", fmt.Sprintf("golden-face-%02d.png", i+1))
		now := few(picture(t, path))
		if *update {
			keep(t, kept, now)
		}
		if other := unlike(picture(t, kept), now); other > mostOther {
			t.Errorf("face %d: %.1f %% of its dots are others (-update keeps them; look at %s)", i+1, 100*other, kept)
		}
	}
}

func picture(t *testing.T, path string) image.Image {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	m, err := png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatalf("%s: %v", path, err)
	}
	return m
}

// few gives a picture in four grays.
func few(m image.Image) *image.Paletted {
	out := image.NewPaletted(m.Bounds(), inks)
	for y := m.Bounds().Min.Y; y < m.Bounds().Max.Y; y++ {
		for x := m.Bounds().Min.X; x < m.Bounds().Max.X; x++ {
			out.Set(x, y, m.At(x, y))
		}
	}
	return out
}

func keep(t *testing.T, path string, m image.Image) {
	t.Helper()
	var b bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, b.Bytes(), 0o644); err != nil {
		t.Fatal(err)
	}
}

// unlike gives the share of dots that are black in one picture and white in the other, near
// enough: two grays apart or more. Pictures of other sizes are unlike everywhere.
func unlike(a, b image.Image) float64 {
	if a.Bounds() != b.Bounds() {
		return 1
	}
	n, r := 0, a.Bounds()
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			p, q := color.GrayModel.Convert(a.At(x, y)).(color.Gray).Y, color.GrayModel.Convert(b.At(x, y)).(color.Gray).Y
			if max(p, q)-min(p, q) >= 128 {
				n++
			}
		}
	}
	return float64(n) / float64(r.Dx()*r.Dy())
}

// A word that is gone is seen, a dot is not.
func TestUnlikeSeesAWord(t *testing.T) {
	a, b := image.NewGray(image.Rect(0, 0, 850, 1100)), image.NewGray(image.Rect(0, 0, 850, 1100))
	if unlike(a, b) != 0 || unlike(a, image.NewGray(image.Rect(0, 0, 2, 2))) != 1 {
		t.Error("two alike are unlike, or two of other sizes alike")
	}
	for y := range 14 { // a line of words takes this many dots, a third of them black
		for x := range 850 {
			if x%3 == 0 {
				b.SetGray(x, y, color.Gray{255})
			}
		}
	}
	if got := unlike(a, b); got < mostOther {
		t.Errorf("a line is %.5f", got)
	}
	c := image.NewGray(a.Bounds())
	c.SetGray(5, 5, color.Gray{255})
	if got := unlike(a, c); got > mostOther {
		t.Errorf("a dot is %.5f", got)
	}
}
