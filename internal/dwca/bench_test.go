package dwca

import (
	"bytes"
	"encoding/hex"
	"io"
	"math/rand/v2"
	"testing"

	"trug"
)

// large is a season of n finds with four views and two determinations each.
func large(b *testing.B, n int) Dataset {
	g := generator{rand.New(rand.NewPCG(1, 1))}
	d := sample()
	d.Finds = make([]Find, n)
	for i := range d.Finds {
		f := sampleNamed()
		f.Public = g.id()
		f.Found.Date = g.date()
		f.Place = g.place(trug.FromPhone)
		view := f.Views[0]
		f.Views = nil
		for _, kind := range trug.FourViews {
			var hash [32]byte
			if _, err := randomBytes(g).Read(hash[:]); err != nil {
				b.Fatal(err)
			}
			view.Public, view.Kind, view.Hash = g.id(), kind, trug.Hash(hex.EncodeToString(hash[:]))
			f.Views = append(f.Views, view)
		}
		for j := range f.Slips {
			f.Slips[j].Public = g.id()
		}
		d.Finds[i] = f
	}
	return d
}

func BenchmarkWrite10000(b *testing.B) {
	d := large(b, 10000)
	b.ReportAllocs()
	for b.Loop() {
		if err := Write(io.Discard, d); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkRead10000(b *testing.B) {
	archive := written(b, large(b, 10000))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Read(bytes.NewReader(archive), int64(len(archive)), DefaultLimits); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(archive)), "archive-bytes")
}
