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
func Halved(img *image.RGBA) *image.RGBA {
	w, h := img.Rect.Dx()/2, img.Rect.Dy()/2
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		a, b := img.Pix[2*y*img.Stride:][:8*w], img.Pix[(2*y+1)*img.Stride:][:8*w]
		d := out.Pix[y*out.Stride:][:4*w]
		for x := 0; x+4 <= len(d); x += 4 {
			u, v := load8(a[2*x:]), load8(b[2*x:])
			even, odd := u&evens+v&evens, u>>8&evens+v>>8&evens
			even, odd = even+even>>32+0x00020002, odd+odd>>32+0x00020002
			binary.LittleEndian.PutUint32(d[x:], uint32(even>>2&evens|odd>>2&evens<<8))
		}
	}
	return out
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
	for x := range d {
		v := binary.LittleEndian.Uint32(row[4*x:])
		d[x] = uint8((19595*(v&0xff) + 38470*(v>>8&0xff) + 7471*(v>>16&0xff) + 1<<15) >> 16)
	}
}
