package photo

import (
	"bytes"
	"encoding/binary"
)

// scanWebP walks the chunks of a WebP file (RFC 9649).
func scanWebP(data []byte) (container, error) {
	c := container{coding: codingVideo601}
	total := int64(binary.LittleEndian.Uint32(data[4:])) + 8
	var err error
	if total > int64(len(data)) {
		err = truncated(float64(len(data)) / float64(total))
	} else {
		data = data[:total]
	}
	for rest := data[12:]; len(rest) >= 8; {
		n := int(binary.LittleEndian.Uint32(rest[4:]))
		body := rest[8:]
		whole := n >= 0 && n <= len(body)
		if whole {
			body = body[:n]
		}
		c.takeWebP(string(rest[:4]), body)
		if !whole || n+n%2 > len(rest)-8 {
			break
		}
		rest = rest[8+n+n%2:]
	}
	if err == nil && c.animated {
		err = say(ErrUnsupported, "this WebP moves; send a single picture as JPEG")
	}
	return c, err
}

// takeWebP keeps what we need of a chunk. The canvas and the picture in it may
// claim different sizes; the larger counts, since memory is what is at stake.
func (c *container) takeWebP(kind string, body []byte) {
	grow := func(w, h int) { c.width, c.height = max(c.width, w), max(c.height, h) }
	u24 := func(b []byte) int { return int(b[0]) | int(b[1])<<8 | int(b[2])<<16 }
	switch {
	case kind == "VP8X" && len(body) >= 10:
		c.animated = body[0]&0x02 != 0
		grow(u24(body[4:])+1, u24(body[7:])+1)
	case kind == "VP8 " && len(body) >= 10:
		grow(int(binary.LittleEndian.Uint16(body[6:])&0x3fff), int(binary.LittleEndian.Uint16(body[8:])&0x3fff))
		c.images++
	case kind == "VP8L" && len(body) >= 5:
		bits := binary.LittleEndian.Uint32(body[1:])
		grow(int(bits&0x3fff)+1, int(bits>>14&0x3fff)+1)
		c.images++
	case kind == "ANMF":
		c.images++
	case kind == "ICCP":
		c.icc = body
	case kind == "EXIF":
		c.exif = bytes.TrimPrefix(body, []byte("Exif\x00\x00"))
	}
}
