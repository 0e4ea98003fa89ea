package photo

import (
	"fmt"
	"math"
	"slices"
	"time"
	"trug/science/said"

	"trug/science/place"
)

// Limits bound what is taken in. Zero means the default.
type Limits struct {
	// MaxPixels is the largest width times height; by default 100 million.
	MaxPixels int64
	// MaxBytes is the largest file; by default 100 MiB.
	MaxBytes int64
}

func (l Limits) orDefault() Limits {
	if l.MaxPixels <= 0 {
		l.MaxPixels = 100_000_000
	}
	if l.MaxBytes <= 0 {
		l.MaxBytes = 100 << 20
	}
	return l
}

// Facts are what a photograph's file says about it. A zero field means that the
// file does not say. Nothing is guessed but PositionUncertainty.
type Facts struct {
	Format Format
	// Width and Height are in pixels, the right way up.
	Width, Height int
	// Orientation is EXIF's number as written, 1..8, or 1. Pictures in HEIC are
	// turned by their container, and there this number is without effect.
	Orientation int
	Taken       Taken
	// SatelliteTime is when the position was fixed, by the satellites' clock in
	// UTC; it may be minutes before the photograph.
	SatelliteTime time.Time
	Position      *place.Position
	// PositionUncertainty holds about 95 % of fixes: twice the error that the
	// receiver reported; else 10 m for each unit of its dilution of precision,
	// but at least the 30 m of a fix about which nothing is known.
	PositionUncertainty place.Metres
	Altitude            *place.Metres // above sea level, negative below
	Make, Model         string
	FocalLength35       float64 // mm, as if on 35 mm film
	// Cropped says that parts were cut off after it was taken: its shape differs
	// from the one that the camera wrote down, or is none that cameras take. The
	// focal length then says little of it. What was cut off evenly on all sides
	// can't be told.
	Cropped bool
	Flash   bool // the camera fired one
	// Profile is the name of the colour profile, for example "Display P3".
	Profile string
	// ImagesInFile counts the pictures in the file without thumbnails and masks;
	// the primary one is used.
	ImagesInFile int
	// Progressive JPEG takes about three times the memory to decode.
	Progressive bool
	Notes       []Note

	takenShape float64 // longer by shorter side as EXIF has it, 0 unknown
}

// cameraShapes are the longer by the shorter side of what cameras and phones
// take: square, 5:4, 4:3, 7:5, 3:2, 16:10, 16:9, 18:9 to 21:9 (from memory).
var cameraShapes = []float64{1, 1.25, 4. / 3, 1.4, 1.5, 1.6, 16. / 9, 2, 18.5 / 9, 19. / 9, 19.5 / 9, 20. / 9, 21. / 9}

// Lens35 is the focal length as on 35 mm film in mm, 0 where the file doesn't
// say it or the photograph was cropped since.
func (f *Facts) Lens35() float64 {
	if f.Cropped {
		return 0
	}
	return f.FocalLength35
}

// wasCropped compares the shape with the one that was taken. Cameras leave out
// a few lines, and scaling rounds to whole pixels.
func (f *Facts) wasCropped() bool {
	long, short := float64(max(f.Width, f.Height)), float64(max(min(f.Width, f.Height), 1))
	near := func(shape float64) bool { return math.Abs(long/short/shape-1) < .012+1/short }
	if f.takenShape > 0 {
		return !near(f.takenShape)
	}
	return !slices.ContainsFunc(cameraShapes, near)
}

// Note is something about a photograph that a person should know, in one
// sentence. Kind says the same to a program.
type Note struct {
	Kind NoteKind
	Text string
	// Said is the sentence for other languages.
	Said said.Sentence
}

// NoteKind tells notes apart.
type NoteKind string

// The kinds of notes.
const (
	NoteNoFix         NoteKind = "no-fix"         // coordinates without a fix: not used
	NoteBadPlace      NoteKind = "bad-place"      // coordinates that cannot be: not used
	NoteBadMetadata   NoteKind = "bad-metadata"   // part of the metadata is damaged
	NoteClock         NoteKind = "clock"          // the camera's clock was not set
	NoteSavedTime     NoteKind = "saved-time"     // only the time of saving is known
	NoteSeveralImages NoteKind = "several-images" // only the primary picture is used
	NoteProfileKept   NoteKind = "profile-kept"   // colours could not be brought to sRGB
)

func (f *Facts) note(kind NoteKind, format string, args ...any) {
	f.Notes = append(f.Notes, Note{kind, fmt.Sprintf(format, args...), said.Of(format, args...)})
}

// Taken is when a photograph was taken, as the camera's clock showed it. Wall
// carries that reading in UTC by convention; it is not an instant. Most cameras
// do not say how their clock stood to UTC; then HasOffset is false.
type Taken struct {
	Wall      time.Time
	Offset    time.Duration // east of Greenwich positive
	HasOffset bool
}

// Known reports whether there is a time at all.
func (t Taken) Known() bool { return !t.Wall.IsZero() }

// In gives the instant if the clock showed the time of loc, or the instant by
// the camera's own offset where it wrote one.
func (t Taken) In(loc *time.Location) time.Time {
	w := t.Wall
	if t.HasOffset {
		loc = time.FixedZone("", int(t.Offset/time.Second))
	}
	return time.Date(w.Year(), w.Month(), w.Day(), w.Hour(), w.Minute(), w.Second(), w.Nanosecond(), loc)
}

// ClockDoubt says in a sentence why the camera's clock cannot be believed, seen
// from now, or returns "". Without an offset a clock may be ahead by as much as
// the easternmost zone, 14 hours; with one, by ten minutes.
func ClockDoubt(t Taken, now time.Time) said.Sentence {
	if !t.Known() {
		return said.Sentence{}
	}
	slack := 10 * time.Minute
	if !t.HasOffset {
		slack += 14 * time.Hour
	}
	w := t.Wall
	day, clock := said.Day{Day: w.Format(time.DateOnly)}, w.Format("15:04")
	switch {
	case w.Year() < 1990:
		return said.As("the camera's clock said {day}, before there were such cameras: give the date by hand and set the clock", "day", day)
	case t.In(time.UTC).After(now.Add(slack)):
		return said.As("the camera's clock said {day}, {time}, which is still to come: give the date by hand and set the clock", "day", day, "time", clock)
	case w.YearDay() == 1 && w.Hour() == 0 && w.Year()%5 == 0:
		// Clocks that lost their battery start anew at midnight of such a year
		// (2000, 2005, 2010, 2015, 2020, from memory).
		return said.As("the camera's clock said {day}, {time}, which is where clocks begin that were never set: check the date", "day", day, "time", clock)
	}
	return said.Sentence{}
}

// DecodeBytes estimates how much memory Upright takes for a photograph, in
// bytes, its result included and the file itself not, so that a caller can bound
// how many it decodes at a time. It errs on the high side.
func DecodeBytes(f Facts) int64 {
	perPixel := int64(8) // decoded planes, and four bytes for the result
	switch {
	case f.Format == HEIC:
		perPixel = 32 // tiles, picture and copies within the decoder; 26 were measured
	case f.Format == PNG:
		perPixel = 12 // up to 16 bits a channel
	case f.Format == JPEG && f.Progressive:
		perPixel = 20 // and a 32-bit coefficient for each sample
	}
	return perPixel*int64(f.Width)*int64(f.Height) + 1<<20
}
