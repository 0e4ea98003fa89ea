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
