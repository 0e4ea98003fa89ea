package paint

import (
	"encoding/binary"
	"fmt"
	"math"
	"strings"
	"time"
)

// EXIF field types (Exif 2.32, section 4.6.2).
const (
	typeByte     = 1
	typeASCII    = 2
	typeShort    = 3
	typeLong     = 4
	typeRational = 5
	typeUndef    = 7
)

type exifEntry struct {
	tag, typ uint16
	count    uint32
	data     []byte
}

func asciiEntry(tag uint16, s string) exifEntry {
	b := append([]byte(s), 0)
	return exifEntry{tag, typeASCII, uint32(len(b)), b}
}

func shortEntry(tag, v uint16) exifEntry {
	return exifEntry{tag, typeShort, 1, binary.LittleEndian.AppendUint16(nil, v)}
}

func longEntry(tag uint16, v uint32) exifEntry {
	return exifEntry{tag, typeLong, 1, binary.LittleEndian.AppendUint32(nil, v)}
}

// focal35 is the focal length as on 35 mm film, by the diagonals (CIPA DCG-001):
// the camera stands at 1.55 times the width of what it shows, which is 2,480
// pixels of a picture whose diagonal has 2,000.
const focal35 = 54

// rationalEntry takes numerator, denominator pairs.
func rationalEntry(tag uint16, v ...uint32) exifEntry {
	var b []byte
	for _, x := range v {
		b = binary.LittleEndian.AppendUint32(b, x)
	}
	return exifEntry{tag, typeRational, uint32(len(v) / 2), b}
}

// exifSegment builds a whole APP1 segment (marker included) from scratch:
// little-endian TIFF with the main, Exif and GPS directories.
func exifSegment(c Camera, w, h int) ([]byte, error) {
	if c.Taken.IsZero() {
		return nil, fmt.Errorf("the camera needs the time the picture was taken")
	}
	if c.HasPlace && !(math.Abs(c.Lat) <= 90 && math.Abs(c.Lon) <= 180) {
		return nil, fmt.Errorf("the place %v, %v is not on the globe: give latitude -90 to 90 and longitude -180 to 180", c.Lat, c.Lon)
	}
	if strings.ContainsRune(c.Make+c.Model, 0) || len(c.Make)+len(c.Model) > 400 {
		return nil, fmt.Errorf("make and model must be short plain text")
	}
	stamp := c.Taken.Format("2006:01:02 15:04:05")
	exif := []exifEntry{
		{0x9000, typeUndef, 4, []byte("0232")},
		asciiEntry(0x9003, stamp),
		asciiEntry(0x9004, stamp),
	}
	if c.HasOffset {
		exif = append(exif, asciiEntry(0x9011, c.Taken.Format("-07:00")))
	}
	exif = append(exif,
		exifEntry{0x9101, typeUndef, 4, []byte{1, 2, 3, 0}},
		exifEntry{0xa000, typeUndef, 4, []byte("0100")},
		shortEntry(0xa001, 1), longEntry(0xa002, uint32(w)), longEntry(0xa003, uint32(h)),
		shortEntry(0xa405, focal35))
	main := []exifEntry{
		asciiEntry(0x010f, c.Make),
		asciiEntry(0x0110, c.Model),
		shortEntry(0x0112, 1),
		rationalEntry(0x011a, 72, 1),
		rationalEntry(0x011b, 72, 1),
		shortEntry(0x0128, 2),
		asciiEntry(0x0132, stamp),
		shortEntry(0x0213, 1),
		longEntry(0x8769, 0),
	}
	var gps []exifEntry
	if c.HasPlace {
		main = append(main, longEntry(0x8825, 0))
		gps = gpsEntries(c)
	}
	return app1(main, exif, gps)
}

func gpsEntries(c Camera) []exifEntry {
	ns, ew := "N", "E"
	if c.Lat < 0 {
		ns = "S"
	}
	if c.Lon < 0 {
		ew = "W"
	}
	utc := c.Taken.In(time.UTC)
	gps := []exifEntry{
		{0x0000, typeByte, 4, []byte{2, 3, 0, 0}},
		asciiEntry(0x0001, ns), dms(0x0002, c.Lat),
		asciiEntry(0x0003, ew), dms(0x0004, c.Lon),
	}
	if c.HasOffset { // without an offset the universal time is not known
		gps = append(gps, rationalEntry(0x0007, uint32(utc.Hour()), 1, uint32(utc.Minute()), 1, uint32(utc.Second()), 1))
	}
	gps = append(gps, asciiEntry(0x0012, "WGS-84"))
	if c.HasOffset {
		gps = append(gps, asciiEntry(0x001d, utc.Format("2006:01:02")))
	}
	if c.AccuracyM > 0 {
		gps = append(gps, rationalEntry(0x001f, uint32(math.Round(c.AccuracyM*100)), 100))
	}
	return gps
}

// dms writes degrees, minutes and ten-thousandths of a second (3 mm).
func dms(tag uint16, deg float64) exifEntry {
	t := uint64(math.Round(math.Abs(deg) * 3600 * 10000))
	return rationalEntry(tag, uint32(t/36000000), 1, uint32(t/600000%60), 1, uint32(t%600000), 10000)
}

// app1 lays the directories out one after the other, each followed by the
// values that do not fit into four bytes.
func app1(main, exif, gps []exifEntry) ([]byte, error) {
	size := func(es []exifEntry) uint32 {
		n := uint32(2 + 12*len(es) + 4)
		for _, e := range es {
			if len(e.data) > 4 {
				n += uint32(len(e.data)+1) &^ 1
			}
		}
		return n
	}
	exifAt := 8 + size(main)
	gpsAt := exifAt + size(exif)
	for i, e := range main {
		switch e.tag {
		case 0x8769:
			main[i] = longEntry(e.tag, exifAt)
		case 0x8825:
			main[i] = longEntry(e.tag, gpsAt)
		}
	}
	tiff := []byte{'I', 'I', 42, 0, 8, 0, 0, 0}
	for _, es := range [][]exifEntry{main, exif, gps} {
		if len(es) > 0 {
			tiff = appendIFD(tiff, es)
		}
	}
	n := 2 + 6 + len(tiff)
	if n > 0xffff {
		return nil, fmt.Errorf("the EXIF block is too large (%d bytes)", n)
	}
	seg := []byte{0xff, 0xe1, byte(n >> 8), byte(n), 'E', 'x', 'i', 'f', 0, 0}
	return append(seg, tiff...), nil
}

func appendIFD(tiff []byte, es []exifEntry) []byte {
	le := binary.LittleEndian
	at := uint32(len(tiff) + 2 + 12*len(es) + 4)
	var tail []byte
	tiff = le.AppendUint16(tiff, uint16(len(es)))
	for _, e := range es {
		tiff = le.AppendUint16(tiff, e.tag)
		tiff = le.AppendUint16(tiff, e.typ)
		tiff = le.AppendUint32(tiff, e.count)
		if len(e.data) <= 4 {
			var four [4]byte
			copy(four[:], e.data)
			tiff = append(tiff, four[:]...)
			continue
		}
		tiff = le.AppendUint32(tiff, at+uint32(len(tail)))
		tail = append(tail, e.data...)
		if len(tail)%2 == 1 {
			tail = append(tail, 0)
		}
	}
	tiff = le.AppendUint32(tiff, 0)
	return append(tiff, tail...)
}

// insertAfterSOI puts a segment behind a JPEG file's first marker.
func insertAfterSOI(jpg, seg []byte) ([]byte, error) {
	if len(jpg) < 2 || jpg[0] != 0xff || jpg[1] != 0xd8 {
		return nil, fmt.Errorf("the encoder's output is not a JPEG file")
	}
	out := make([]byte, 0, len(jpg)+len(seg))
	out = append(out, jpg[:2]...)
	out = append(out, seg...)
	return append(out, jpg[2:]...), nil
}

// WithEXIF returns the JPEG file of a picture of w by h pixels with the
// metadata that a camera would write, for tests that need photographs of a
// known time and place.
func WithEXIF(jpg []byte, c Camera, w, h int) ([]byte, error) {
	exif, err := exifSegment(c, w, h)
	if err != nil {
		return nil, err
	}
	return insertAfterSOI(jpg, exif)
}
