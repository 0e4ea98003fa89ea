package card

import (
	"image"
	"math/rand/v2"
	"testing"
)

// Eight bytes at a time say what each says by itself.
func TestEightAtATime(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 20000 {
		a, b := r.Uint64(), r.Uint64()
		if r.IntN(4) == 0 { // alike in some bytes
			b ^= (a ^ b) & r.Uint64() & (0xff * each & r.Uint64())
		}
		m := below(a, b)
		lo, hi := sorted(a, b)
		for i := 0; i < 64; i += 8 {
			p, q := uint8(a>>i), uint8(b>>i)
			want := uint8(0)
			if p < q {
				want = 0x80
			}
			if uint8(m>>i) != want || uint8(lo>>i) != min(p, q) || uint8(hi>>i) != max(p, q) {
				t.Fatalf("%x below %x: %x, sorted %x and %x", a, b, m, lo, hi)
			}
		}
	}
}

func TestHalving(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	for range 200 {
		w, h := 2+r.IntN(40), 2+r.IntN(9)
		img := image.NewRGBA(image.Rect(0, 0, w, h))
		grey := image.NewGray(img.Rect)
		for i := range img.Pix {
			img.Pix[i] = uint8(r.UintN(256))
		}
		for i := range grey.Pix {
			grey.Pix[i] = uint8(r.UintN(256))
		}
		got, l := Halved(img), whole(grey)
		level := l.halve(nil)
		for y := range h / 2 {
			for x := range w / 2 {
				for c := range 4 {
					at := func(dx, dy int) uint { return uint(img.Pix[img.PixOffset(2*x+dx, 2*y+dy)+c]) }
					if want := uint8((at(0, 0) + at(1, 0) + at(0, 1) + at(1, 1) + 2) / 4); got.Pix[got.PixOffset(x, y)+c] != want {
						t.Fatalf("%d by %d: channel %d at %d, %d is %d, want %d", w, h, c, x, y, got.Pix[got.PixOffset(x, y)+c], want)
					}
				}
				at := func(dx, dy int) uint { return uint(grey.GrayAt(2*x+dx, 2*y+dy).Y) }
				if want := uint8((at(0, 0) + at(1, 0) + at(0, 1) + at(1, 1) + 2) / 4); level.pix[y*level.stride+x] != want {
					t.Fatalf("%d by %d: grey at %d, %d is %d, want %d", w, h, x, y, level.pix[y*level.stride+x], want)
				}
			}
		}
	}
}

func TestTentAndLuma(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for range 300 {
		w := 1 + r.IntN(40)
		rows := make([][]uint8, 3)
		for i := range rows {
			rows[i] = make([]uint8, w+2)
			for x := range rows[i] {
				rows[i][x] = uint8(r.UintN(256))
			}
		}
		got := make([]uint8, w)
		tentRow(got, rows[0], rows[1], rows[2])
		for x := range got {
			sum := uint(8)
			for i, k := range [3]uint{1, 2, 1} {
				sum += k * (uint(rows[i][x]) + 2*uint(rows[i][x+1]) + uint(rows[i][x+2]))
			}
			if got[x] != uint8(sum>>4) {
				t.Fatalf("%d pixels: smoothed at %d is %d, want %d", w, x, got[x], sum>>4)
			}
		}
		px := make([]uint8, 4*w)
		for i := range px {
			px[i] = uint8(r.UintN(256))
		}
		greyRow(got, px)
		for x := range got {
			if want := uint8((19595*uint(px[4*x]) + 38470*uint(px[4*x+1]) + 7471*uint(px[4*x+2]) + 1<<15) >> 16); got[x] != want {
				t.Fatalf("%d pixels: luma at %d is %d, want %d", w, x, got[x], want)
			}
		}
	}
}

// The extremes near a tile are those of all pixels of the tiles round it.
func TestExtremesNearby(t *testing.T) {
	r := rand.New(rand.NewPCG(9, 10))
	for range 60 {
		w, h := 1+r.IntN(90), 1+r.IntN(70)
		l := level{pix: make([]uint8, w*h), stride: w, w: w, h: h}
		for i := range l.pix {
			l.pix[i] = uint8(r.UintN(256))
		}
		var e extremes
		e.measure(&l)
		for i := range e.w * e.h {
			for _, c := range []struct {
				r      int
				lo, hi uint8
			}{{0, e.lo[i], e.hi[i]}, {nearby, e.nearLo[i], e.nearHi[i]}, {afar, e.farLo[i], e.farHi[i]}} {
				lo, hi := uint8(255), uint8(0)
				for y := max((i/e.w-c.r)*tile, 0); y < min((i/e.w+c.r+1)*tile, h); y++ {
					for x := max((i%e.w-c.r)*tile, 0); x < min((i%e.w+c.r+1)*tile, w); x++ {
						lo, hi = min(lo, l.pix[y*w+x]), max(hi, l.pix[y*w+x])
					}
				}
				if lo != c.lo || hi != c.hi {
					t.Fatalf("%d by %d, tile %d, %d round it: %d to %d, want %d to %d", w, h, i, c.r, c.lo, c.hi, lo, hi)
				}
			}
		}
	}
}
