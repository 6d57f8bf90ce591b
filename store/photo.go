package store

import (
	"bytes"
	"context"
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"encoding/json"
	"image/jpeg"
	"time"

	"raftwright/finding"
	"raftwright/store/rows"
)

// Photo is a picture of a bed, kept beside an entry of its log.
type Photo struct {
	ID, Bed  string
	Entry    string // "" for one of the bed itself
	Who      string
	Recorded time.Time
}

// Bounds of photos: bytes of one, width or height in pixels, and how many a bed has.
const (
	MostPhotoBytes = 1 << 20
	MostPhotoSide  = 2048
	mostPhotos     = 500
)

const photoKind = "image/jpeg"

// AddPhoto keeps a photo, a JPEG without anything in it but the picture: whoever takes it in
// encodes it anew, so that it carries no place and no name. The id is made by whoever sends it.
func (s *Store) AddPhoto(ctx context.Context, w Who, id, bedID, entryID string, picture []byte) (made bool, err error) {
	if err := check(id, bedID); err != nil {
		return false, err
	}
	if err := plainPicture(picture); err != nil {
		return false, err
	}
	sum := sha256.Sum256(picture)
	hash := hex.EncodeToString(sum[:])
	err = s.write(ctx, func(tx *writer) error {
		if _, err := bed(ctx, tx.Queries, w, log, bedID); err != nil {
			return err
		}
		if entryID != "" {
			e, err := tx.Entry(ctx, entryID)
			if err == nil && e.Bed != bedID {
				err = sql.ErrNoRows
			}
			if err != nil {
				return missing(err, wordEntry, entryID)
			}
		}
		if n, err := tx.CountPhotos(ctx, bedID); err != nil || n >= mostPhotos {
			if err == nil {
				err = finding.Fault{ID: FaultPhotos, Args: finding.Args{"Most": mostPhotos}}
			}
			return err
		}
		if made, err = tx.append(ctx, w, id, photoAdded, id, time.Time{}, saidPhoto{bedID, entryID, photoKind, hash}); err != nil || !made {
			return err
		}
		return tx.AddImage(ctx, hash, picture)
	})
	return made, err
}

// plainPicture refuses what is no JPEG, is too large, or carries more than the picture.
func plainPicture(picture []byte) error {
	bad := finding.Fault{ID: FaultPhoto, Args: finding.Args{"Side": MostPhotoSide, "MB": MostPhotoBytes >> 20}}
	if len(picture) > MostPhotoBytes {
		return bad
	}
	size, err := jpeg.DecodeConfig(bytes.NewReader(picture))
	if err != nil || size.Width > MostPhotoSide || size.Height > MostPhotoSide {
		return bad
	}
	// ITU-T T.81, annex B: segments FF xx length; E0 to EF are application data, FE a comment
	for at := 2; at+4 <= len(picture) && picture[at] == 0xFF && picture[at+1] != 0xDA; {
		if m := picture[at+1]; m >= 0xE0 && m <= 0xEF || m == 0xFE {
			return bad
		}
		at += 2 + int(picture[at+2])<<8 + int(picture[at+3])
	}
	return nil
}

// Photos lists the photos of a bed, the oldest first.
func (s *Store) Photos(ctx context.Context, w Who, bedID string) (list []Photo, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		if _, err := bed(ctx, q, w, see, bedID); err != nil {
			return err
		}
		found, err := q.Photos(ctx, bedID)
		for _, p := range found {
			list = append(list, Photo{p.ID, p.Bed, p.Entry, p.Who, time.UnixMilli(p.Recorded).UTC()})
		}
		return err
	})
	return list, err
}

// Picture gives a photo as a JPEG.
func (s *Store) Picture(ctx context.Context, w Who, id string) (picture []byte, err error) {
	err = s.look(ctx, func(q *rows.Queries) error {
		p, err := photo(ctx, q, w, see, id)
		if err != nil {
			return err
		}
		picture, err = q.Image(ctx, p.Hash)
		return missing(err, wordPhoto, id)
	})
	return picture, err
}

// RemovePhoto takes a photo away for good; that there was one stays in the history.
func (s *Store) RemovePhoto(ctx context.Context, w Who, id, photoID string) error {
	if err := check(id, photoID); err != nil {
		return err
	}
	return s.gone(ctx, s.write(ctx, func(tx *writer) error {
		p, err := photo(ctx, tx.Queries, w, log, photoID)
		if err != nil {
			return err
		}
		if _, err := tx.append(ctx, w, id, photoRemoved, photoID, time.Time{}, saidPhoto{p.Bed, p.Entry, p.Kind, p.Hash}); err != nil {
			return err
		}
		return tx.DropImages(ctx, p.Hash)
	}))
}

// photo finds a photo of a bed on which somebody may do something.
func photo(ctx context.Context, q *rows.Queries, w Who, what act, id string) (rows.Photo, error) {
	p, err := q.Photo(ctx, id)
	if err != nil {
		return p, missing(err, wordPhoto, id)
	}
	if _, err = bed(ctx, q, w, what, p.Bed); Is(err, FaultNotFound) {
		err = finding.Fault{ID: FaultNotFound, Args: finding.Args{"Thing": wordPhoto, "Name": id}}
	}
	return p, err
}

func applyPhoto(ctx context.Context, q *rows.Queries, h rows.Happening) error {
	var p saidPhoto
	if err := json.Unmarshal([]byte(h.Payload), &p); err != nil {
		return err
	}
	err := q.TouchBed(ctx, h.Seq, p.Bed)
	if err == nil && h.What == photoAdded {
		err = q.AddPhoto(ctx, rows.AddPhotoParams{ID: h.Thing, Bed: p.Bed, Entry: p.Entry, Kind: p.Kind, Hash: p.Hash, Who: h.Who, Recorded: h.Recorded})
	} else if err == nil {
		err = q.RemovePhoto(ctx, h.Thing)
	}
	return err
}
