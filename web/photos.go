package web

import (
	"bytes"
	"cmp"
	"errors"
	"image"
	"image/jpeg"
	_ "image/png" // a screenshot
	"io"
	"net/http"
	"strings"

	"golang.org/x/image/draw"

	"raftwright/finding"
	"raftwright/store"
)

// Bounds of a picture that is sent: bytes, and millions of pixels. It is kept much smaller.
const (
	mostPhotoBody   = 24 << 20
	mostBookBody    = 24 << 20 // of ten years of a program, packed
	mostPixels      = 50_000_000
	photoSide       = 1600
	firstQuality    = 82
	leastQuality    = 50
	photosOnOnePage = 60
)

// FaultPhoto is a file that is no picture that can be read.
const FaultPhoto finding.ID = "web.fault.photo"

// mostOf bounds what may be sent to an address: a photo as a telephone takes it is large, and so is a book.
func mostOf(r *http.Request) int64 {
	if r.Method == http.MethodPost && r.URL.Path == "/program/fill" {
		return mostBookBody
	}
	if r.Method == http.MethodPost && strings.HasPrefix(r.URL.Path, "/beds/") && strings.HasSuffix(r.URL.Path, "/photos") {
		return mostPhotoBody
	}
	return mostBody
}

// badPhoto is the fault of a picture that is not taken.
func badPhoto() finding.Fault {
	return finding.Fault{ID: FaultPhoto, Args: finding.Args{"Most": mostPixels / 1_000_000, "MB": mostPhotoBody >> 20}}
}

// opening lets one picture be opened at a time: a large one takes some 200 MB while it is.
var opening = make(chan struct{}, 1)

// plain gives a picture anew, turned as it was held and at most photoSide wide and high, with
// nothing in it but the picture: no place, no name, no time, no device.
func plain(sent []byte) ([]byte, error) {
	size, _, err := image.DecodeConfig(bytes.NewReader(sent))
	if err != nil || size.Width < 1 || size.Height < 1 || size.Width > mostPixels/size.Height {
		return nil, badPhoto()
	}
	opening <- struct{}{}
	defer func() { <-opening }()
	picture, _, err := image.Decode(bytes.NewReader(sent))
	if err != nil {
		return nil, badPhoto()
	}
	b := picture.Bounds()
	wide, high := b.Dx(), b.Dy()
	if long := max(wide, high); long > photoSide {
		wide, high = max(1, wide*photoSide/long), max(1, high*photoSide/long)
	}
	small := image.NewRGBA(image.Rect(0, 0, wide, high))
	draw.Draw(small, small.Bounds(), image.White, image.Point{}, draw.Src) // under what is clear
	draw.CatmullRom.Scale(small, small.Bounds(), picture, b, draw.Over, nil)
	turned := upright(small, held(sent))
	for q := firstQuality; ; q -= 8 {
		var out bytes.Buffer
		if err := jpeg.Encode(&out, turned, &jpeg.Options{Quality: q}); err != nil {
			return nil, err
		}
		if out.Len() <= store.MostPhotoBytes || q < leastQuality {
			return out.Bytes(), nil // what is too large still is refused by the store
		}
	}
}

// upright turns a picture by the sign of how it was held, 1 to 8 (TIFF 6.0, tag 274).
func upright(p *image.RGBA, sign int) *image.RGBA {
	if sign < 2 || sign > 8 {
		return p
	}
	w, h := p.Rect.Dx(), p.Rect.Dy()
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	if sign > 4 {
		out = image.NewRGBA(image.Rect(0, 0, h, w))
	}
	for y := range h {
		for x := range w {
			var a, b int
			switch sign {
			case 2:
				a, b = w-1-x, y
			case 3:
				a, b = w-1-x, h-1-y
			case 4:
				a, b = x, h-1-y
			case 5:
				a, b = y, x
			case 6:
				a, b = h-1-y, x
			case 7:
				a, b = h-1-y, w-1-x
			case 8:
				a, b = y, w-1-x
			}
			copy(out.Pix[out.PixOffset(a, b):][:4], p.Pix[p.PixOffset(x, y):][:4])
		}
	}
	return out
}

// held reads from a JPEG how the camera was held: the sign of its Exif (CIPA DC-008), 1 where
// there is none.
func held(sent []byte) int {
	if len(sent) < 4 || sent[0] != 0xFF || sent[1] != 0xD8 {
		return 1
	}
	for at := 2; at+4 <= len(sent) && sent[at] == 0xFF && sent[at+1] != 0xDA; {
		long := int(sent[at+2])<<8 | int(sent[at+3])
		end := at + 2 + long
		if long < 2 || end > len(sent) {
			return 1
		}
		if body := sent[at+4 : end]; sent[at+1] == 0xE1 && bytes.HasPrefix(body, []byte("Exif\x00\x00")) {
			return signOf(body[6:])
		}
		at = end
	}
	return 1
}

// signOf reads tag 274 of the first list of a TIFF (TIFF 6.0, section 2).
func signOf(t []byte) int {
	if len(t) < 8 {
		return 1
	}
	number := func(at, bytes int) int {
		x := 0
		for i := range bytes {
			if t[0] == 'I' { // the low byte stands first
				x |= int(t[at+i]) << (8 * i)
			} else {
				x = x<<8 | int(t[at+i])
			}
		}
		return x
	}
	list := number(4, 4)
	if list < 8 || list > len(t)-2 {
		return 1
	}
	for i := range number(list, 2) {
		at := list + 2 + 12*i
		if at+12 > len(t) {
			return 1
		}
		if number(at, 2) == 274 {
			if sign := number(at+8, 2); sign >= 1 && sign <= 8 {
				return sign
			}
			return 1
		}
	}
	return 1
}

// shownPhoto is a photo on its page.
type shownPhoto struct{ ID, When, Alt string }

// photos shows the photos of a bed, the latest first.
func (v *visit) photos() error { return v.showPhotos(nil) }

func (v *visit) showPhotos(bad []wrong) error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	body := struct {
		Bed, ID, Entry string
		Demo           bool
		Wrong          []wrong
		List           []shownPhoto
		More           int
	}{Bed: b.ID, ID: store.NewID(), Entry: v.FormValue("entry"), Demo: b.ID == demonstration, Wrong: bad}
	if !body.Demo {
		list, err := v.Store.Photos(v.context(), v.who, b.ID)
		if err != nil {
			return err
		}
		for i := len(list) - 1; i >= 0 && len(body.List) < photosOnOnePage; i-- {
			at := list[i].Recorded.Local()
			when := v.words.Date(at) + " " + at.Format("15:04")
			body.List = append(body.List, shownPhoto{list[i].ID, when, v.say("web.photos.alt", "When", when)})
		}
		body.More = len(list) - len(body.List)
	}
	s := v.of(b, "photos")
	s.AtBed, s.Body = true, body
	status := http.StatusOK
	if len(bad) > 0 {
		status = http.StatusUnprocessableEntity
	}
	return v.showAs(status, "photos", s)
}

// addPhoto takes a photo in, encoded anew.
func (v *visit) addPhoto() error {
	var long *http.MaxBytesError
	if err := v.filled(); errors.As(err, &long) {
		return v.retell(func(_ int, told []wrong) error { return v.showPhotos(told) }, badPhoto())
	} else if err != nil {
		return err
	}
	b, err := v.theBed()
	if err != nil {
		return err
	}
	if b.ID == demonstration {
		return finding.Fault{ID: FaultReadOnly}
	}
	if v.MultipartForm == nil || len(v.MultipartForm.File["photo"]) == 0 {
		return v.showPhotos([]wrong{{v.say("web.photos.none_sent"), v.say("web.photos.none_sent_right")}})
	}
	f, err := v.MultipartForm.File["photo"][0].Open()
	if err != nil {
		return err
	}
	defer f.Close()
	sent, err := io.ReadAll(f) // bounded by what a page takes
	if err != nil {
		return err
	}
	picture, err := plain(sent)
	if err == nil {
		id := cmp.Or(v.PostFormValue("id"), store.NewID())
		if _, err = v.Store.AddPhoto(v.context(), v.who, id, b.ID, v.PostFormValue("entry"), picture); err != nil {
			if _, there := v.ofBed(b, id); there == nil { // sent before
				err = nil
			}
		}
	}
	if store.Is(err, FaultPhoto) || store.Is(err, store.FaultPhoto) || store.Is(err, store.FaultPhotos) {
		return v.retell(func(_ int, told []wrong) error { return v.showPhotos(told) }, err)
	}
	if err != nil {
		return err
	}
	return v.to("/beds/" + b.ID + "/photos")
}

// photo sends one photo.
func (v *visit) photo() error {
	b, err := v.theBed()
	if err != nil {
		return err
	}
	id := v.PathValue("photo")
	list, err := v.ofBed(b, id)
	if err != nil {
		return err
	}
	picture, err := v.Store.Picture(v.context(), v.who, list)
	if err != nil {
		return err
	}
	h := v.out.Header()
	h.Set("Content-Type", "image/jpeg")
	h.Set("Cache-Control", "private, max-age=86400")
	_, err = v.out.Write(picture)
	return err
}

// ofBed tells whether a photo is one of a bed.
func (v *visit) ofBed(b aBed, id string) (string, error) {
	if b.ID != demonstration {
		list, err := v.Store.Photos(v.context(), v.who, b.ID)
		if err != nil {
			return "", err
		}
		for _, p := range list {
			if p.ID == id {
				return id, nil
			}
		}
	}
	return "", finding.Fault{ID: FaultNowhere, Args: finding.Args{"Address": v.URL.Path}}
}

// removePhoto takes a photo away for good.
func (v *visit) removePhoto() error {
	if err := v.filled(); err != nil {
		return err
	}
	b, err := v.theBed()
	if err != nil {
		return err
	}
	id, err := v.ofBed(b, v.PathValue("photo"))
	if err != nil {
		return err
	}
	if err := v.Store.RemovePhoto(v.context(), v.who, cmp.Or(v.PostFormValue("id"), store.NewID()), id); err != nil {
		return err
	}
	return v.to("/beds/" + b.ID + "/photos")
}
