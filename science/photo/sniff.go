package photo

import (
	"bytes"
	"encoding/binary"
	"errors"

	"trug/science/said"
)

// Format is the kind of file a photograph is in.
type Format string

// The formats that can be read.
const (
	JPEG Format = "jpeg"
	PNG  Format = "png"
	HEIC Format = "heic"
	WebP Format = "webp"
)

// MediaType is the format's name in MIME, for example "image/jpeg".
func (f Format) MediaType() string { return "image/" + string(f) }

// ErrNotPhotograph is wrapped by the errors of Sniff and Read when a file is in
// none of the formats that can be read.
var ErrNotPhotograph = errors.New("not a photograph that can be read")

// say is an error that reads as one sentence and wraps its kind.
func say(kind error, format string, args ...any) error { return said.Kind(kind, format, args...) }

// SniffBytes is how much of a file's beginning Sniff wants to see.
const SniffBytes = 64

// Sniff tells the format from the first bytes of a file (SniffBytes or all there
// are). The name of the file does not matter. The error is a sentence that says
// what the file is instead, if that can be told.
func Sniff(head []byte) (Format, error) {
	switch {
	case len(head) == 0:
		return "", say(ErrNotPhotograph, "the file is empty: copy it again from the camera or phone")
	case bytes.HasPrefix(head, []byte("\xff\xd8\xff")):
		return JPEG, nil
	case bytes.HasPrefix(head, []byte("\x89PNG\r\n\x1a\n")):
		return PNG, nil
	case len(head) >= 12 && string(head[:4]) == "RIFF" && string(head[8:12]) == "WEBP":
		return WebP, nil
	case len(head) >= 12 && string(head[4:8]) == "ftyp":
		return sniffBrands(head)
	}
	for _, known := range []struct {
		prefix string
		what   said.Words
	}{
		{"GIF8", said.Words("a GIF picture")}, {"II*\x00", said.Words("a TIFF or raw file of a camera")}, {"MM\x00*", said.Words("a TIFF or raw file of a camera")},
		{"%PDF", said.Words("a PDF document")}, {"PK\x03\x04", said.Words("a ZIP archive or office document")}, {"BM", said.Words("a BMP picture")},
		{"FUJIFILMCCD-RAW", said.Words("a raw file of a camera")}, {"<", said.Words("a text file")},
	} {
		if bytes.HasPrefix(head, []byte(known.prefix)) {
			return "", say(ErrNotPhotograph, "this is not a JPEG, PNG, HEIC or WebP photograph but %s: save it as JPEG and send that", known.what)
		}
	}
	return "", say(ErrNotPhotograph, "this is not a JPEG, PNG, HEIC or WebP photograph: save it as JPEG and send that")
}

// sniffBrands reads the box with which files of the HEIF and MP4 family begin:
// its main brand, then the brands it is compatible with.
func sniffBrands(head []byte) (Format, error) {
	end := min(int(binary.BigEndian.Uint32(head)), len(head))
	brands := []string{string(head[8:12])}
	for i := 16; i+4 <= end; i += 4 {
		brands = append(brands, string(head[i:i+4]))
	}
	for _, b := range brands {
		switch b {
		case "heic", "heix", "heim", "heis":
			return HEIC, nil
		case "avif", "avis":
			return "", say(ErrNotPhotograph, "this is an AVIF picture, which cannot be read: save it as JPEG and send that")
		case "crx ":
			return "", say(ErrNotPhotograph, "this is a raw file of a camera, which cannot be read: save it as JPEG and send that")
		}
	}
	if b := brands[0]; b == "mif1" || b == "msf1" {
		return HEIC, nil
	}
	return "", say(ErrNotPhotograph, "this is a film (%q), not a photograph: send a single picture as JPEG or HEIC", brands[0])
}
