//go:build js && wasm

package main

import (
	"encoding/binary"
	"syscall/js"
	"unsafe"
)

// stripRoom makes room for some rows of a photograph that is to be turned, and
// tells where they lie.
func (d *door) stripRoom(_ js.Value, args []js.Value) any {
	n := args[0].Int()
	if n <= 0 || n > 4*mostPixels {
		return -1
	}
	if cap(d.strip) < n {
		d.strip = make([]byte, n)
	}
	d.strip = d.strip[:n]
	return int(uintptr(unsafe.Pointer(unsafe.SliceData(d.strip))))
}

// turn lays rows that lie in the strip upright into the room: those from top on,
// so many, of a photograph so wide and high, turned clockwise by so many quarters.
func (d *door) turn(_ js.Value, args []js.Value) any {
	top, rows, w, h, quarters := args[0].Int(), args[1].Int(), args[2].Int(), args[3].Int(), args[4].Int()
	if top < 0 || rows < 0 || top+rows > h || 4*w*rows > len(d.strip) || 4*w*h != len(d.pix) {
		return nil
	}
	// Where the first pixel of a row goes, and how far apart the next ones lie, in
	// pixels: along the row, and from row to row.
	var first, along, down int
	switch quarters {
	case 1:
		first, along, down = h-1, h, -1
	case 2:
		first, along, down = w*h-1, -1, -w
	case 3:
		first, along, down = (w-1)*h, -h, 1
	default:
		return nil
	}
	for x := range w {
		to := first + x*along + top*down
		for y := range rows {
			v := binary.LittleEndian.Uint32(d.strip[4*(y*w+x):])
			binary.LittleEndian.PutUint32(d.pix[4*to:], v)
			to += down
		}
	}
	return nil
}
