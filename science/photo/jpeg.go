package photo

import (
	"bytes"
	"encoding/binary"
)

// Markers of JPEG (ITU-T T.81, table B.1).
const (
	jpegEOI  = 0xd9
	jpegSOS  = 0xda
	jpegAPP1 = 0xe1
	jpegAPP2 = 0xe2
)

// jpegScan walks the segments of a JPEG.
type jpegScan struct {
	container
	started  bool // a start of frame was seen
	profile  map[byte][]byte
	profiles int
}

// scanJPEG walks the markers to the end of the picture. A file in which the end
// is missing is truncated: half a picture is worth less than the hint to copy
// it again while the card still has it.
func scanJPEG(data []byte) (container, error) {
	s := jpegScan{profile: map[byte][]byte{}}
	i, inScan := 2, false
	for {
		next := bytes.IndexByte(data[i:], 0xff)
		if next < 0 || i+next+1 >= len(data) {
			return s.finish(), truncated(0)
		}
		i += next + 1
		marker := data[i]
		if marker == 0xff {
			continue // a fill byte; the marker follows
		}
		i++
		switch {
		case marker == jpegEOI && s.started && inScan:
			return s.finish(), nil
		case marker == 0 || marker == 1 || marker >= 0xd0 && marker <= 0xd9:
			continue // a coded 0xff, or a marker without a segment
		}
		segment, ok := jpegSegment(data[i:])
		if !ok {
			if inScan {
				continue // damage within the picture: the decoder will judge it
			}
			return s.finish(), truncated(0)
		}
		if err := s.take(marker, segment); err != nil {
			return s.finish(), err
		}
		if marker == jpegSOS {
			inScan = true
		}
		if known := marker == 0xc4 || marker >= 0xda && marker <= 0xef; known || !inScan {
			i += 2 + len(segment)
		}
	}
}

// jpegSegment gives the body of the segment whose length comes first.
func jpegSegment(b []byte) ([]byte, bool) {
	if len(b) < 2 {
		return nil, false
	}
	n := int(binary.BigEndian.Uint16(b))
	if n < 2 || n > len(b) {
		return nil, false
	}
	return b[2:n], true
}

// take keeps what we need of a segment.
func (s *jpegScan) take(marker byte, body []byte) error {
	switch {
	case marker >= 0xc0 && marker <= 0xcf && marker != 0xc4 && marker != 0xc8 && marker != 0xcc:
		return s.frame(marker, body)
	case marker == jpegAPP1 && s.exif == nil && bytes.HasPrefix(body, []byte("Exif\x00")) && len(body) > 6:
		s.exif = body[6:]
	case marker == jpegAPP2 && bytes.HasPrefix(body, []byte("ICC_PROFILE\x00")) && len(body) > 14:
		s.profile[body[12]] = body[14:]
		s.profiles = int(body[13])
	case marker == jpegAPP2 && bytes.HasPrefix(body, []byte("MPF\x00")):
		s.images = mpfImages(body[4:])
	}
	return nil
}

// frame reads the size of the picture and how it is coded.
func (s *jpegScan) frame(marker byte, body []byte) error {
	if s.started || len(body) < 6 {
		return nil
	}
	s.started = true
	s.height, s.width = int(binary.BigEndian.Uint16(body[1:])), int(binary.BigEndian.Uint16(body[3:]))
	s.cmyk = body[5] == 4
	s.progressive = marker == 0xc2
	if marker > 0xc2 || body[0] != 8 {
		return say(ErrUnsupported, "this kind of JPEG (lossless, arithmetic or more than 8 bits) cannot be read: save it as an ordinary JPEG")
	}
	return nil
}

// finish puts the parts of the colour profile together.
func (s *jpegScan) finish() container {
	for i := 1; i <= s.profiles; i++ {
		part, ok := s.profile[byte(i)]
		if !ok {
			s.icc = nil
			break
		}
		s.icc = append(s.icc, part...)
	}
	return s.container
}

// mpfImages counts the pictures of a file in the Multi-Picture Format (CIPA
// DC-007), tag 0xB001 of its index.
func mpfImages(b []byte) int {
	if len(b) < 8 {
		return 0
	}
	var order binary.ByteOrder = binary.BigEndian
	if b[0] == 'I' {
		order = binary.LittleEndian
	}
	at := int64(order.Uint32(b[4:]))
	if at+2 > int64(len(b)) {
		return 0
	}
	for entry := b[at+2:]; len(entry) >= 12; entry = entry[12:] {
		if order.Uint16(entry) == 0xb001 {
			if n := order.Uint32(entry[8:]); n < 1000 {
				return int(n)
			}
		}
	}
	return 0
}
