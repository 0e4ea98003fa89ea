package photo

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"io"
)

// maxProfile bounds a colour profile once unpacked.
const maxProfile = 4 << 20

// scanPNG walks the chunks of a PNG (ISO/IEC 15948).
func scanPNG(data []byte) (container, error) {
	c := container{images: 1}
	for rest := data[8:]; ; {
		if len(rest) < 12 {
			return c, truncated(0)
		}
		n := int64(binary.BigEndian.Uint32(rest))
		kind := string(rest[4:8])
		if n > int64(len(rest))-12 {
			// Sizes stand in the first chunk; without them there is nothing to say.
			return c, truncated(0)
		}
		body := rest[8 : 8+n]
		switch kind {
		case "IHDR":
			if n >= 8 && c.width == 0 {
				c.width, c.height = int(binary.BigEndian.Uint32(body)), int(binary.BigEndian.Uint32(body[4:]))
			}
		case "iCCP":
			c.icc = unpackProfile(body)
		case "eXIf":
			c.exif = body
		case "IEND":
			return c, nil
		}
		rest = rest[12+n:]
	}
}

// unpackProfile unpacks an iCCP chunk: a name, a method byte, packed data.
func unpackProfile(body []byte) []byte {
	_, packed, found := bytes.Cut(body, []byte{0})
	if !found || len(packed) < 2 {
		return nil
	}
	z, err := zlib.NewReader(bytes.NewReader(packed[1:]))
	if err != nil {
		return nil
	}
	defer z.Close()
	profile, err := io.ReadAll(io.LimitReader(z, maxProfile))
	if err != nil {
		return nil
	}
	return profile
}
