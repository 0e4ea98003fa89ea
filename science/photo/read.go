package photo

import (
	"context"
	"errors"
	"math"

	"trug/science/place"
)

// The kinds of errors beside ErrNotPhotograph.
var (
	// ErrTruncated is wrapped when a file ends before its picture does.
	ErrTruncated = errors.New("photograph ends early")
	// ErrDamaged is wrapped when a file is whole but cannot be decoded.
	ErrDamaged = errors.New("photograph is damaged")
	// ErrTooLarge is wrapped when a file exceeds the limits.
	ErrTooLarge = errors.New("photograph is too large")
	// ErrUnsupported is wrapped when a format is known but not this use of it.
	ErrUnsupported = errors.New("kind of photograph not supported")
)

func truncated(part float64) error {
	if part > 0 && part < 1 {
		return say(ErrTruncated, "the file ends before the picture does (%.0f %% of it are there): copy it again from the camera or phone", math.Floor(part*100))
	}
	return say(ErrTruncated, "the file ends before the picture does: copy it again from the camera or phone")
}

func damaged(what string) error {
	return say(ErrDamaged, "the file is damaged (%s): copy it again from the camera or phone", what)
}

// container is what the outside of a file tells.
type container struct {
	width, height int  // of the picture as stored
	turned        bool // the decoder turns it, which swaps width and height
	upright       bool // the decoder turns it, so EXIF's orientation does not count
	progressive   bool
	cmyk          bool
	animated      bool
	images        int
	exif, icc     []byte
	coding        coding // of brightness and colour, where the decoder leaves that to us
	primaries     int    // by ITU-T H.273, where there is no profile: 1 is sRGB, 12 Display P3
}

// scanContainer reads the outside of a file and checks it against the limits. On
// ErrTruncated and ErrTooLarge the container is as full as it could be made.
func scanContainer(data []byte, limits Limits) (Format, container, error) {
	limits = limits.orDefault()
	format, err := Sniff(data[:min(len(data), SniffBytes)])
	if err != nil {
		return "", container{}, err
	}
	if n := int64(len(data)); n > limits.MaxBytes {
		return format, container{}, say(ErrTooLarge, "the file has %d MB, the most taken is %d MB: save it smaller", n/1e6, limits.MaxBytes/1e6)
	}
	scan := map[Format]func([]byte) (container, error){JPEG: scanJPEG, PNG: scanPNG, WebP: scanWebP,
		HEIC: func(data []byte) (container, error) { return scanHEIF(data, limits.MaxPixels) }}[format]
	c, err := scan(data)
	if err != nil && !errors.Is(err, ErrTruncated) {
		return format, c, err
	}
	if pixels := int64(c.width) * int64(c.height); pixels > limits.MaxPixels {
		return format, c, say(ErrTooLarge, "the picture has %d × %d pixels, the most taken is %d million: save it smaller", c.width, c.height, limits.MaxPixels/1e6)
	}
	if err == nil && (c.width <= 0 || c.height <= 0) {
		err = damaged("it gives no width and height")
	}
	return format, c, err
}

// Read gives the facts of a photograph without decoding it. An error is a
// sentence and wraps ErrNotPhotograph, ErrTruncated, ErrDamaged, ErrTooLarge or
// ErrUnsupported; with all but the first the facts are filled as far as they
// could be read.
func Read(ctx context.Context, data []byte, limits Limits) (Facts, error) {
	if err := ctx.Err(); err != nil {
		return Facts{}, err
	}
	format, c, err := scanContainer(data, limits)
	if errors.Is(err, ErrNotPhotograph) {
		return Facts{}, err
	}
	f := Facts{Format: format, Orientation: 1, ImagesInFile: max(c.images, 1), Progressive: c.progressive}
	e := readEXIF(c.exif, &f)
	f.Width, f.Height = c.width, c.height
	if swap := f.Orientation >= 5; c.turned || swap && !c.upright {
		f.Width, f.Height = f.Height, f.Width
	}
	f.Cropped = f.wasCropped()
	if f.ImagesInFile > 1 {
		f.note(NoteSeveralImages, "the file holds %d pictures; only its primary picture is used", f.ImagesInFile)
	}
	describeColours(&f, c, e)
	return f, err
}

// describeColours names the colour profile and says if it cannot be followed.
func describeColours(f *Facts, c container, e exifTags) {
	t, err := colours(c, e)
	f.Profile = t.name
	switch {
	case c.cmyk:
		f.note(NoteProfileKept, "the picture is in printing inks (CMYK); its colours are converted roughly and must not be measured")
	case err != nil:
		f.note(NoteProfileKept, "the colour profile %q cannot be followed (%v); the colours are left as they are and must not be measured", t.name, err)
	}
}

// uncertainty is explained at Facts.PositionUncertainty. The five metres for a
// unit of dilution are the usual error of one range measured (from memory).
func uncertainty(reported, dilution float64) place.Metres {
	switch {
	case reported > 0 && reported < 1e5:
		return place.Metres(place.ReportedAccuracyFactor * reported)
	case dilution > 0 && dilution < 1e3:
		return max(place.UnknownGNSSUncertainty, place.Metres(place.ReportedAccuracyFactor*5*dilution))
	}
	return place.UnknownGNSSUncertainty
}
