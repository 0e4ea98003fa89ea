// Package apptest makes apps for tests: over a fresh SQLite file and folder,
// with the invented season in it, at a fixed time.
package apptest

import (
	"bytes"
	"context"
	"image"
	"image/color"
	"image/jpeg"
	"math/rand/v2"
	"path/filepath"
	"testing"
	"time"

	"trug"
	"trug/internal/app"
	"trug/internal/blob/disk"
	"trug/internal/demo"
	"trug/internal/store/sqlite"
)

// Season is the invented season on a test's app.
type Season struct {
	*app.App
	Demo demo.Season
	tb   testing.TB
}

// New returns an app with the invented season as it stands on the day,
// without photographs.
func New(tb testing.TB, day trug.Date) Season {
	tb.Helper()
	s := Empty(tb, day)
	s.Demo = demo.Load(day)
	if err := s.LoadDemonstration(tb.Context(), s.Demo); err != nil {
		tb.Fatal(err)
	}
	return s
}

// Load brings the invented season as it stands on the day into an app.
func Load(ctx context.Context, a *app.App, day trug.Date) error {
	return a.LoadDemonstration(ctx, demo.Load(day))
}

// Empty returns an app over an empty store.
func Empty(tb testing.TB, day trug.Date) Season {
	tb.Helper()
	dir := tb.TempDir()
	st, err := sqlite.OpenExclusive(tb.Context(), filepath.Join(dir, "trug.db"))
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		if err := st.Close(); err != nil {
			tb.Error(err)
		}
	})
	blobs, err := disk.Open(filepath.Join(dir, "photographs"))
	if err != nil {
		tb.Fatal(err)
	}
	uploads, err := disk.OpenUploads(filepath.Join(dir, "uploads"))
	if err != nil {
		tb.Fatal(err)
	}
	// The clock moves with the test, so that identifiers are made in order.
	began, started := trug.When{Date: day, Time: "17:00", Offset: "-01:00"}.Instant(time.UTC), time.Now()
	a, err := app.New(app.Options{Store: st, Blobs: blobs, Uploads: uploads, Secret: bytes.Repeat([]byte{7}, 32), Device: "test", EntryLinks: true,
		Clock: func() time.Time { return began.Add(time.Since(started)) }})
	if err != nil {
		tb.Fatal(err)
	}
	return Season{App: a, tb: tb}
}

// As returns the person with the code as a viewer: "R02" coordinates, "D1" to
// "D5" determine, "R01" and others record.
func (s Season) As(code string) app.Viewer {
	s.tb.Helper()
	p, err := s.PersonByCode(s.tb.Context(), s.Demo.Season.ID, code)
	if err != nil {
		s.tb.Fatal(err)
	}
	return app.Viewer{Season: p.SeasonID, Person: &p}
}

// Token returns the token of a fresh session of the person with the code.
func (s Season) Token(code string) string {
	s.tb.Helper()
	in, err := s.EnterByLink(s.tb.Context(), app.Caller{Label: "a test"}, s.EntryToken(s.As(code).Person.ID))
	if err != nil {
		s.tb.Fatal(err)
	}
	return in.Token
}

// Outsider returns somebody who has not come in.
func (s Season) Outsider() app.Viewer { return app.Viewer{Season: s.Demo.Season.ID} }

// Record returns the identifier of the record with the field number.
func (s Season) Record(number string) trug.ID {
	s.tb.Helper()
	for _, r := range s.Demo.Records {
		if r.Number == number {
			return r.ID
		}
	}
	s.tb.Fatalf("the invented season has no record %s by this day", number)
	return ""
}

// ID returns a fresh identifier.
func (s Season) ID() trug.ID {
	s.tb.Helper()
	id, err := trug.NewID(s.Clock(), s.Random)
	if err != nil {
		s.tb.Fatal(err)
	}
	return id
}

// JPEG returns a small photograph without metadata; n makes it unlike others.
func JPEG(tb testing.TB, n uint64) []byte {
	tb.Helper()
	r := rand.New(rand.NewPCG(n, n))
	img := image.NewRGBA(image.Rect(0, 0, 64, 48))
	for i := range 64 * 48 {
		img.Set(i%64, i/64, color.RGBA{uint8(r.Uint32()), uint8(i), uint8(n), 255})
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, nil); err != nil {
		tb.Fatal(err)
	}
	return b.Bytes()
}
