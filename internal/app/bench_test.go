package app_test

import (
	"bytes"
	"image"
	"image/jpeg"
	"math/rand/v2"
	"testing"

	"trug"
	"trug/internal/app"
	"trug/internal/app/apptest"
)

// twelveMegapixels returns unlike JPEGs of 4000 by 3000 pixels with the
// detail of leaf litter, so that sizes are those of a phone's files.
func twelveMegapixels(b *testing.B, n int) [][]byte {
	b.Helper()
	out := make([][]byte, n)
	for k := range out {
		r := rand.New(rand.NewPCG(uint64(k), 1))
		img := image.NewYCbCr(image.Rect(0, 0, 4000, 3000), image.YCbCrSubsampleRatio420)
		level := 128.0
		for i := range img.Y {
			level += r.NormFloat64()*9 + (128-level)*0.03
			img.Y[i] = uint8(min(max(level, 0), 255))
		}
		for i := range img.Cb {
			img.Cb[i], img.Cr[i] = uint8(118+r.IntN(8)), uint8(130+r.IntN(8))
		}
		var buf bytes.Buffer
		if err := jpeg.Encode(&buf, img, &jpeg.Options{Quality: 88}); err != nil {
			b.Fatal(err)
		}
		out[k] = buf.Bytes()
	}
	return out
}

// Taking a 12-megapixel JPEG in: reading, decoding, two derivatives, three
// durable files and a durable row.
func BenchmarkTakePhotograph12Mpx(b *testing.B) {
	s := apptest.New(b, "2026-10-10")
	v := s.As("R08")
	files := twelveMegapixels(b, 4)
	b.SetBytes(int64(len(files[0])))
	n := 0
	for b.Loop() {
		b.StopTimer()
		data := append(bytes.Clone(files[n%len(files)]), byte(n), byte(n>>8)) // a trailer makes each file new
		n++
		b.StartTimer()
		if _, err := s.TakePhotograph(b.Context(), v, "a.jpg", bytes.NewReader(data)); err != nil {
			b.Fatal(err)
		}
	}
}

// Saving a record durably, as the browser sends it.
func BenchmarkSaveRecord(b *testing.B) {
	s := apptest.New(b, "2026-10-10")
	v := s.As("R08")
	e := app.EditableRecord{Found: trug.When{Date: "2026-10-10"}, FieldName: "Mycena", Place: &app.EditablePlace{Lat: 48.56, Lon: -19.95, Source: trug.FromPin}}
	for b.Loop() {
		if _, err := s.SaveRecord(b.Context(), v, s.ID(), e); err != nil {
			b.Fatal(err)
		}
	}
}

// A page of the Record book of the whole invented season.
func BenchmarkBook(b *testing.B) {
	s := apptest.New(b, "2026-11-25")
	v := s.As("R02")
	for b.Loop() {
		if _, err := s.Book(b.Context(), v, app.BookQuery{Text: "wood", Sort: "name"}); err != nil {
			b.Fatal(err)
		}
	}
}

// Keeping a pasted foray table of 9,900 rows in requests of 500, as the
// browser sends it.
func BenchmarkForayTable9900(b *testing.B) {
	for b.Loop() {
		s := apptest.New(b, "2026-10-10")
		v, y := s.As("R02"), s.Demo.Forays[0].ID
		rows := make([]app.ForayRow, 9900)
		for i := range rows {
			rows[i] = app.ForayRow{ID: s.ID(), Name: "Mycena pura", Determiner: "D1", Substrate: "leaf litter", Host: "beech", Count: 1 + i%7}
		}
		for from := 0; from < len(rows); from += 500 {
			done, err := s.SaveForayTable(b.Context(), v, y, rows[from:min(from+500, len(rows))])
			if err != nil || done.Faults > 0 {
				b.Fatal(err, done.Faults)
			}
		}
	}
}
