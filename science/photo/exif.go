package photo

import (
	"bytes"
	"math"
	"strconv"
	"strings"
	"time"

	"github.com/bep/imagemeta"

	"trug/science/place"
)

// exifTags are the values of the tags we use, by the names of their standard.
type exifTags map[string]any

// wanted are the tags read, from the main picture's directories only: the
// thumbnail's orientation may differ.
var wanted = map[string]bool{
	"DateTimeOriginal": true, "CreateDate": true, "ModifyDate": true,
	"OffsetTimeOriginal": true, "OffsetTimeDigitized": true, "OffsetTime": true,
	"Make": true, "Model": true, "Orientation": true, "FocalLengthIn35mmFormat": true, "Flash": true,
	"ExifImageWidth": true, "ExifImageHeight": true,
	"GPSLatitude": true, "GPSLatitudeRef": true, "GPSLongitude": true, "GPSLongitudeRef": true,
	"GPSAltitude": true, "GPSAltitudeRef": true, "GPSStatus": true, "GPSDOP": true,
	"GPSHPositioningError": true, "GPSDateStamp": true, "GPSTimeStamp": true,
}

// tagName gives the name of a tag we want, else "". The same numbers mean one
// thing among the positions and another in the directory of interoperability,
// where the library gives them the names of the former.
func tagName(t imagemeta.TagInfo) string {
	directory := t.Namespace[strings.LastIndexByte(t.Namespace, '/')+1:]
	name := t.Tag
	switch {
	case directory == "InteroperabilityIFD" && (name == "GPSLatitudeRef" || name == "InteropIndex"):
		return "InteropIndex"
	case directory == "InteroperabilityIFD", strings.HasPrefix(name, "GPS") != (directory == "GPSInfoIFD"), !wanted[name]:
		return ""
	case directory != "IFD0" && directory != "ExifIFDP" && directory != "GPSInfoIFD":
		return ""
	}
	return name
}

// maxEXIF bounds the block given to the EXIF reader. JPEG allows 64 kB.
const maxEXIF = 1 << 20

// readEXIF reads a TIFF-like block of metadata into the facts.
func readEXIF(block []byte, f *Facts) exifTags {
	tags := exifTags{}
	if len(block) < 8 {
		return tags
	}
	badDegrees := false
	_, err := imagemeta.Decode(imagemeta.Options{
		R: bytes.NewReader(block[:min(len(block), maxEXIF)]), ImageFormat: imagemeta.TIFF, Sources: imagemeta.EXIF,
		LimitNumTags: 2000, LimitTagSize: 1000,
		ShouldHandleTag: func(t imagemeta.TagInfo) bool { return tagName(t) != "" },
		HandleTag: func(t imagemeta.TagInfo) error {
			if name := tagName(t); tags[name] == nil {
				tags[name] = t.Value
			}
			return nil
		},
		Warnf: func(format string, _ ...any) {
			badDegrees = badDegrees || strings.HasPrefix(format, "GPSL")
		},
	})
	if err != nil {
		f.note(NoteBadMetadata, "part of what the camera wrote beside the picture is damaged and was left out")
	}
	if badDegrees {
		delete(tags, "GPSLatitude")
	}
	if o := tags.number("Orientation"); o >= 1 && o <= 8 {
		f.Orientation = int(o)
	}
	f.Make, f.Model = tags.text("Make"), tags.text("Model")
	if mm := tags.number("FocalLengthIn35mmFormat"); mm > 0 && mm < 1e4 {
		f.FocalLength35 = mm
	}
	if w, h := tags.number("ExifImageWidth"), tags.number("ExifImageHeight"); w > 0 && h > 0 {
		f.takenShape = max(w, h) / min(w, h)
	}
	if flash := tags.number("Flash"); flash >= 0 {
		f.Flash = int(flash)&1 != 0 // bit 0: fired (EXIF 2.32, 4.6.5, tag 37385)
	}
	tags.readTime(f)
	tags.readPlace(f)
	return tags
}

// text gives a tag as clean text of at most 100 characters.
func (t exifTags) text(name string) string {
	s, _ := t[name].(string)
	s = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r == '\uFFFD' {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(s, ""))
	s = strings.TrimSpace(s)
	if r := []rune(s); len(r) > 100 {
		s = string(r[:100])
	}
	return s
}

// number gives a tag as a number, NaN when it is absent or none.
func (t exifTags) number(name string) float64 {
	switch v := t[name].(type) {
	case uint8:
		return float64(v)
	case uint16:
		return float64(v)
	case uint32:
		return float64(v)
	case int:
		return float64(v)
	case float32:
		return float64(v)
	case float64:
		return v
	case interface{ Float64() float64 }:
		return v.Float64()
	case string:
		if x, err := strconv.ParseFloat(strings.TrimSpace(v), 64); err == nil {
			return x
		}
	}
	return math.NaN()
}

// readTime takes when the picture was taken, else digitised, else saved.
func (t exifTags) readTime(f *Facts) {
	for _, source := range [...]struct{ time, offset string }{
		{"DateTimeOriginal", "OffsetTimeOriginal"}, {"CreateDate", "OffsetTimeDigitized"}, {"ModifyDate", "OffsetTime"},
	} {
		text := t.text(source.time)
		if strings.Trim(text, " :0-") == "" {
			if text != "" && source.time == "DateTimeOriginal" {
				f.note(NoteClock, "the camera's clock was not set; give the date by hand")
			}
			continue
		}
		wall, ok := parseWall(text)
		if !ok {
			f.note(NoteBadMetadata, "the time of the photograph (%q) cannot be read; give it by hand", text)
			continue
		}
		f.Taken.Wall = wall
		f.Taken.Offset, f.Taken.HasOffset = parseOffset(t.text(source.offset))
		if source.time == "ModifyDate" {
			f.note(NoteSavedTime, "the file does not say when it was taken, only when it was last saved")
		}
		break
	}
	if wall, ok := parseWall(t.text("GPSDateStamp") + " " + t.text("GPSTimeStamp")); ok {
		f.SatelliteTime = wall
	}
}

func parseWall(text string) (time.Time, bool) {
	if len(text) < 19 {
		return time.Time{}, false
	}
	for _, layout := range [...]string{"2006:01:02 15:04:05", "2006-01-02 15:04:05", "2006-01-02T15:04:05", "2006/01/02 15:04:05"} {
		if wall, err := time.Parse(layout, text[:19]); err == nil && wall.Year() > 0 {
			return wall, true
		}
	}
	return time.Time{}, false
}

// parseOffset reads "+02:00", "-03:30" or "Z".
func parseOffset(text string) (time.Duration, bool) {
	if text == "Z" {
		return 0, true
	}
	t, err := time.Parse("-07:00", text)
	if err != nil {
		return 0, false
	}
	_, seconds := t.Zone()
	offset := time.Duration(seconds) * time.Second
	return offset, offset.Abs() <= 14*time.Hour
}

// readPlace takes position and altitude. A receiver without a fix writes zeros
// or the status V; neither is a place.
func (t exifTags) readPlace(f *Facts) {
	lat, lon := t.number("GPSLatitude"), t.number("GPSLongitude")
	if math.IsNaN(lat) || math.IsNaN(lon) {
		return
	}
	if strings.HasPrefix(strings.ToUpper(t.text("GPSLatitudeRef")), "S") {
		lat = -math.Abs(lat)
	}
	if strings.HasPrefix(strings.ToUpper(t.text("GPSLongitudeRef")), "W") {
		lon = -math.Abs(lon)
	}
	p := place.Position{Lat: place.Degrees(lat), Lon: place.Degrees(lon)}
	switch {
	case strings.HasPrefix(strings.ToUpper(t.text("GPSStatus")), "V"):
		f.note(NoteNoFix, "the receiver had no fix when the photograph was taken; its coordinates are not used")
		return
	case lat == 0 && lon == 0:
		f.note(NoteNoFix, "the coordinates are 0, 0, which receivers write without a fix; they are not used")
		return
	case p.Valid() != nil:
		f.note(NoteBadPlace, "the coordinates are not used: %v", p.Valid())
		return
	}
	f.Position = &p
	f.PositionUncertainty = uncertainty(t.number("GPSHPositioningError"), t.number("GPSDOP"))
	if at, ok := f.fixTime(); ok && at.Before(selectiveAvailabilityEnd) {
		f.PositionUncertainty = max(f.PositionUncertainty, place.UnknownGNSSUncertaintyBefore2000)
	}
	if h := t.number("GPSAltitude"); h > -1e5 && h < 1e5 {
		altitude := place.Metres(h)
		if t.number("GPSAltitudeRef") == 1 || t.text("GPSAltitudeRef") == "\x01" {
			altitude = -altitude
		}
		f.Altitude = &altitude
	}
}

// selectiveAvailabilityEnd is when the satellites' signal was made exact for all.
var selectiveAvailabilityEnd = time.Date(2000, 5, 2, 4, 0, 0, 0, time.UTC)

// fixTime is when the position was fixed, as well as can be told.
func (f *Facts) fixTime() (time.Time, bool) {
	if !f.SatelliteTime.IsZero() {
		return f.SatelliteTime, true
	}
	return f.Taken.Wall, f.Taken.Known()
}
