package card

import (
	"encoding/binary"
	"image"
)

// Eight pixels are worked on at a time, as the bytes of one number: where the
// program runs in a browser, each load and each bound looked at costs as much as
// the sum itself.
const (
	each  = 0x0101010101010101 // 1 in each byte
	tops  = 0x80 * each        // the top bit of each
	evens = 0x00ff00ff00ff00ff // each other byte
)

func load8(p []uint8) uint64 { return binary.LittleEndian.Uint64(p) }

// below has 0x80 in each byte where that of a is less than that of b.
func below(a, b uint64) uint64 {
	// The low seven bits are subtracted with the top bit lent; where the top bits
	// differ they alone decide.
	d := (a | tops) - (b &^ tops)
	return (^a&b | ^(a^b)&^d) & tops
}

// sorted has the lesser of each two bytes, and the greater.
func sorted(a, b uint64) (lo, hi uint64) {
	m := below(a, b) >> 7 * 0xff
	return a&m | b&^m, b&m | a&^m
}

// Halved is a photograph at half its size: blocks of four pixels averaged.
func Halved(img *image.RGBA) *image.RGBA { return halvedInto(nil, img) }

// halvedInto is Halved into pix, where that has room enough.
func halvedInto(pix []uint8, img *image.RGBA) *image.RGBA {
	w, h := img.Rect.Dx()/2, img.Rect.Dy()/2
	out := &image.RGBA{Pix: grown(pix, 4*w*h), Stride: 4 * w, Rect: image.Rect(0, 0, w, h)}
	for y := range h {
		a, b := img.Pix[2*y*img.Stride:][:8*w], img.Pix[(2*y+1)*img.Stride:][:8*w]
		d := out.Pix[y*out.Stride:][:4*w]
		x := 0
		for ; x+8 <= len(d); x += 8 {
			p, q := a[2*x:][:16:16], b[2*x:][:16:16]
			binary.LittleEndian.PutUint64(d[x:], ofFour(load8(p), load8(q))|ofFour(load8(p[8:]), load8(q[8:]))<<32)
		}
		if x < len(d) {
			binary.LittleEndian.PutUint32(d[x:], uint32(ofFour(load8(a[2*x:]), load8(b[2*x:]))))
		}
	}
	return out
}

// ofFour is the mean of two pixels above each other and the two beside them.
func ofFour(u, v uint64) uint64 {
	even, odd := u&evens+v&evens, u>>8&evens+v>>8&evens
	even, odd = even+even>>32+0x00020002, odd+odd>>32+0x00020002
	return even>>2&0x00ff00ff | odd>>2&0x00ff00ff<<8
}

// halveRow averages blocks of four pixels of two rows.
func halveRow(d, a, b []uint8) {
	x := 0
	for ; x+4 <= len(d); x += 4 {
		u, v := load8(a[2*x:]), load8(b[2*x:])
		s := (u&evens + u>>8&evens + v&evens + v>>8&evens + 0x0002000200020002) >> 2 & evens
		s = (s | s>>8) & 0x0000ffff0000ffff
		binary.LittleEndian.PutUint32(d[x:], uint32(s|s>>16))
	}
	for ; x < len(d); x++ {
		d[x] = uint8((uint(a[2*x]) + uint(a[2*x+1]) + uint(b[2*x]) + uint(b[2*x+1]) + 2) >> 2)
	}
}

// greyRow is the luma of a row of pixels (ITU-R BT.601, as in JPEG).
func greyRow(d, row []uint8) {
	x := 0
	for ; x+4 <= len(d); x += 4 {
		u, v := lumas(load8(row[4*x:])), lumas(load8(row[4*x+8:]))
		binary.LittleEndian.PutUint32(d[x:], uint32(u&0xff|u>>32<<8|v&0xff<<16|v>>32<<24))
	}
	for ; x < len(d); x++ {
		d[x] = uint8(lumas(uint64(binary.LittleEndian.Uint32(row[4*x:]))))
	}
}

// lumas are those of two pixels, in the lower byte of either half.
func lumas(v uint64) uint64 {
	const lowest = 0x000000ff000000ff
	return (v&lowest*19595 + v>>8&lowest*38470 + v>>16&lowest*7471 + 0x0000800000008000) >> 16 & lowest
}

// extremesOfThree are the least of three rows' values, and the greatest of three
// others'.
func extremesOfThree(lo, hi []uint8, a, b [3][]uint8) {
	x := 0
	for ; x+8 <= len(lo); x += 8 {
		p, _ := sorted(load8(a[0][x:]), load8(a[1][x:]))
		p, _ = sorted(p, load8(a[2][x:]))
		_, q := sorted(load8(b[0][x:]), load8(b[1][x:]))
		_, q = sorted(q, load8(b[2][x:]))
		binary.LittleEndian.PutUint64(lo[x:], p)
		binary.LittleEndian.PutUint64(hi[x:], q)
	}
	for ; x < len(lo); x++ {
		lo[x], hi[x] = min(a[0][x], a[1][x], a[2][x]), max(b[0][x], b[1][x], b[2][x])
	}
}

// tentRow smooths a row by a tent of three by three, from the rows above, of and
// below it, which begin a pixel before.
func tentRow(d, a, b, c []uint8) {
	x := 0
	for ; x+8 <= len(d); x += 8 {
		even, odd := tent(a[x:], b[x:], c[x:], 0), tent(a[x:], b[x:], c[x:], 8)
		binary.LittleEndian.PutUint64(d[x:], even|odd<<8)
	}
	for ; x < len(d); x++ {
		sum := uint(a[x]) + uint(a[x+2]) + uint(c[x]) + uint(c[x+2]) + 2*(uint(a[x+1])+uint(b[x])+uint(b[x+2])+uint(c[x+1])) + 4*uint(b[x+1])
		d[x] = uint8((sum + 8) >> 4)
	}
}

// tent is the smoothed light of every other of eight pixels, from a bit on.
func tent(a, b, c []uint8, from uint) uint64 {
	of := func(p []uint8) uint64 { return load8(p) >> from & evens }
	corners := of(a) + of(a[2:]) + of(c) + of(c[2:])
	sides := of(a[1:]) + of(b) + of(b[2:]) + of(c[1:])
	return (corners + 2*sides + 4*of(b[1:]) + 0x0008000800080008) >> 4 & evens
}
