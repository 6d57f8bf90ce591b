package web

import (
	"bytes"
	"image"
	_ "image/png"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"github.com/makiuchi-d/gozxing"
	multi "github.com/makiuchi-d/gozxing/multi/qrcode"

	"raftwright/store"
)

// Labels of several beds stand on one sheet, each with the code of its own bed, which opens that bed and no other: the codes are read off the paper
// by another library. A bed that is not one's own to share is refused, and then no link is made.
func TestLabelsOfSeveralBeds(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long: the check runs it")
	}
	server, kept, askers, stranger := staffedHouse(t)
	grower := askers[2]
	who, err := kept.BySession(t.Context(), func() string {
		at, _ := url.Parse(server.URL)
		return grower.client.Jar.Cookies(at)[0].Value
	}())
	if err != nil {
		t.Fatal(err)
	}
	beds := []string{grower.bed}
	for range 2 {
		id := store.NewID()
		if _, err := kept.PutBed(t.Context(), who, id, invented, "1"); err != nil {
			t.Fatal(err)
		}
		beds = append(beds, id)
	}
	_, page := grower.page(t, "GET", server.URL+"/labels", nil)
	for _, id := range beds {
		if !strings.Contains(page, id) {
			t.Errorf("bed %s cannot be chosen", id)
		}
	}
	if strings.Contains(page, stranger) {
		t.Error("a stranger's bed can be chosen")
	}
	if status, _ := grower.page(t, "POST", server.URL+"/labels.pdf", url.Values{"bed": append(beds, stranger)}); status != http.StatusNotFound {
		t.Errorf("with a stranger's bed: %d", status)
	}
	if status, _ := grower.page(t, "POST", server.URL+"/labels.pdf", nil); status != http.StatusUnprocessableEntity {
		t.Errorf("for no bed: %d", status)
	}
	list, err := kept.Passes(t.Context(), who, beds[1])
	if err != nil || len(list) != 0 {
		t.Errorf("links were made: %v %v", list, err)
	}
	status, pdf := grower.page(t, "POST", server.URL+"/labels.pdf", url.Values{"bed": beds})
	if status != http.StatusOK || !strings.HasPrefix(pdf, "%PDF") {
		t.Fatal(status)
	}
	draw, err := exec.LookPath("pdftoppm")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal("pdftoppm is missing: ./check installs it")
		}
		t.Skip("pdftoppm is missing: ./check installs it")
	}
	file := filepath.Join(t.TempDir(), "labels.pdf")
	if err := os.WriteFile(file, []byte(pdf), 0o600); err != nil {
		t.Fatal(err)
	}
	shot, err := exec.Command(draw, "-png", "-r", "200", file).Output()
	if err != nil {
		t.Fatal(err)
	}
	sheet, _, err := image.Decode(bytes.NewReader(shot))
	if err != nil {
		t.Fatal(err)
	}
	bits, err := gozxing.NewBinaryBitmapFromImage(sheet)
	if err != nil {
		t.Fatal(err)
	}
	codes, err := multi.NewQRCodeMultiReader().DecodeMultiple(bits, nil)
	if err != nil || len(codes) != len(beds) {
		t.Fatalf("%d codes on the sheet, %v", len(codes), err)
	}
	opened := map[string]bool{}
	for _, c := range codes {
		_, secret, _ := strings.Cut(c.GetText(), "/with/")
		guest, err := kept.ByPass(t.Context(), secret)
		if err != nil {
			t.Fatal(c.GetText(), err)
		}
		opened[guest.Bed()] = true
	}
	for _, id := range beds {
		if !opened[id] {
			t.Errorf("no code opens bed %s", id)
		}
	}
}
