package view

import (
	"image"
	"math"
	"trug/science/said"

	"trug/science/card"
	"trug/science/measure"
	"trug/science/sharpness"
	"trug/science/truecolour"
)

// Known is what is known of a photograph besides its pixels.
type Known struct {
	// Film35 is the lens's focal length as on 35 mm film, millimetres; 0: unknown.
	Film35 float64
	// Flash says that the camera fired one.
	Flash bool
	// Print is how large the card was printed; the zero Scale: unknown.
	Print measure.Scale
	// Flat says that the subject lies or stands parallel to the card as a cap does
	// that is seen from above: only then is its size told.
	Flat bool
	// Purpose is what the view is for; 0: not known. Where the focus lies instead is
	// told only of a view that is too soft for it.
	Purpose sharpness.Purpose
}

// Seen is what a photograph shows. Pixels are those of the picture as handed in:
// centres at integers, x to the right, y down.
type Seen struct {
	Width     int       `json:"width"`
	Height    int       `json:"height"`
	Card      *Card     `json:"card,omitempty" doc:"Left out where none was found"`
	CardSays  []string  `json:"cardSays" doc:"What is wrong with the card as it is seen, and what helps"`
	Subject   Outlined  `json:"subject"`
	Sharpness Sharpness `json:"sharpness"`
	Exposure  Exposure  `json:"exposure"`
	Size      *Size     `json:"size,omitempty" doc:"Left out where no card tells it"`
	Colour    *Colour   `json:"colour,omitempty" doc:"Left out where the light allows no word"`
	LightSays []string  `json:"lightSays" doc:"What is wrong with the light, and what helps"`
	// Resolves says how fine a detail can be made out; empty where nothing tells.
	Resolves string      `json:"resolves,omitempty"`
	Said     said.Fields `json:"said,omitempty"`
	// CardSaid and LightSaid are CardSays and LightSays for every language.
	CardSaid  []said.Sentence `json:"-"`
	LightSaid []said.Sentence `json:"-"`
}

// Card is the field card as it is seen.
type Card struct {
	Layout string `json:"layout"`
	// Edge is its outline, from its upper left corner clockwise.
	Edge    []card.Pixel `json:"edge"`
	PxPerMM float64      `json:"pxPerMm"`
	TiltDeg float64      `json:"tiltDeg"`
	BlurPx  float64      `json:"blurPx"`
	Tags    int          `json:"tags"`
}

// Outlined is where the subject is.
type Outlined struct {
	Found   bool         `json:"found"`
	Sure    float64      `json:"sure"`
	CutOff  bool         `json:"cutOff"`
	WidthPx float64      `json:"widthPx"`
	Outline []card.Pixel `json:"outline"`
}

// Sharpness is that of the subject.
type Sharpness struct {
	Known   bool    `json:"known"`
	BlurPx  float64 `json:"blurPx" doc:"Spread (sigma) of the subject's edges, pixels"`
	AlongPx float64 `json:"alongPx"`
	Moved   bool    `json:"moved" doc:"The hand moved"`
	// Pairs is how many pairs of dark and light across the subject can be told
	// apart; Form and Detail whether that is enough for either purpose.
	Pairs  float64 `json:"pairs"`
	Form   bool    `json:"form"`
	Detail bool    `json:"detail"`
	// BehindPx is the blur of what surrounds the subject; 0 where nothing tells, or
	// where the subject is sharp enough for what the view is for.
	BehindPx float64 `json:"behindPx"`
}

// Exposure is that of the subject.
type Exposure struct {
	Lights   float64 `json:"lights" doc:"Share of the subject's pixels that are blown out"`
	Darks    float64 `json:"darks" doc:"Share that is black"`
	TooLight bool    `json:"tooLight"`
	TooDark  bool    `json:"tooDark"`
}

// Size is a first size of the subject; whoever keeps a size looks at its outline.
type Size struct {
	WidthMM float64 `json:"widthMm"`
	U95MM   float64 `json:"u95Mm"`
}

// Colour is a first colour of the subject.
type Colour struct {
	Name   string `json:"name"`
	Swatch string `json:"swatch"`
}

// least is the shorter side of a picture in which anything is looked for.
const least = 64

// workedIn is how many pixels the subject's outline is looked for in: it needs no
// more.
const workedIn = 1_600_000

// Read tells what a photograph shows. The finder keeps its memory from one to the
// next.
func Read(f *card.Finder, img *image.RGBA, known Known) Seen {
	s := Seen{Width: img.Rect.Dx(), Height: img.Rect.Dy(), CardSays: []string{}, LightSays: []string{}, Subject: Outlined{Outline: []card.Pixel{}}}
	if min(s.Width, s.Height) < least {
		return s
	}
	f.Lens = card.Film35(known.Film35, s.Width, s.Height)
	half := f.Halved(img)
	sighting := f.FindBeside(img, half)
	s.CardSaid = sighting.Said(image.Pt(s.Width, s.Height))
	for _, p := range s.CardSaid {
		s.CardSays = append(s.CardSays, p.String())
	}
	var found *card.Found
	if len(sighting.Cards) > 0 {
		found = &sighting.Cards[0]
		s.Card = tellCard(found, f.Lens)
	}
	subject := findBeside(img, half, found)
	s.Subject = Outlined{Found: subject.Found, Sure: subject.Sure, CutOff: subject.CutOff, WidthPx: subject.WidthPx, Outline: subject.Outline}
	s.sharp(img, half, subject, known.Purpose)
	s.light(img, subject)
	if found != nil && subject.Found {
		s.measure(img, found, subject, known)
	}
	return s
}

// Find looks for the subject of a photograph in which a card was found; nil where
// none was.
func Find(img *image.RGBA, found *card.Found) *Subject {
	return findBeside(img, card.Halved(img), found)
}

// findBeside is Find with the photograph halved.
func findBeside(img, half *image.RGBA, found *card.Found) *Subject {
	small, k := img, 1.
	for small.Rect.Dx()*small.Rect.Dy() > workedIn {
		if k > 1 {
			half = card.Halved(small)
		}
		small, k = half, 2*k
	}
	s := subjectOf(measure.NewPicture(small), small.Rect, lying{found, k})
	if k == 1 {
		return s
	}
	points := make([]card.Pixel, len(s.Outline))
	for i, q := range s.Outline {
		points[i] = enlarged(q, k)
	}
	large := SubjectOf(img.Rect, points)
	if large == nil {
		return s
	}
	large.Found, large.Sure, large.CutOff, large.unseen = s.Found, s.Sure, s.CutOff, s.unseen
	return large
}

// enlarged takes a pixel of a picture to one that is k times as large.
func enlarged(q card.Pixel, k float64) card.Pixel {
	return card.Pixel{X: (q.X+.5)*k - .5, Y: (q.Y+.5)*k - .5}
}

// tellCard says how the card is seen through a lens.
func tellCard(found *card.Found, lens card.Focal) *Card {
	l, plane := found.Layout, &found.Plane
	c := &Card{Layout: l.ID, Edge: []card.Pixel{}, PxPerMM: plane.PxPerMM(plane.Middle()), TiltDeg: float64(plane.Pose(lens).Tilt),
		BlurPx: found.Blur(), Tags: len(found.Tags)}
	for _, at := range []card.Spot{{}, {X: l.Width}, {X: l.Width, Y: l.Height}, {Y: l.Height}} {
		if q := plane.ToImage(at); !math.IsNaN(q.X + q.Y) {
			c.Edge = append(c.Edge, q)
		}
	}
	return c
}

// sharp reads the subject's sharpness, and what surrounds it.
func (s *Seen) sharp(img, half *image.RGBA, subject *Subject, purpose sharpness.Purpose) {
	got := subject.Sharpness(img)
	s.Sharpness = Sharpness{Known: got.Known, BlurPx: got.Blur, AlongPx: got.Along, Moved: got.Moved}
	if !got.Known {
		return
	}
	s.Sharpness.Pairs = sharpness.Finest(got.Blur) * subject.WidthPx
	s.Sharpness.Form = sharpness.Enough(got.Blur, subject.WidthPx, sharpness.Form)
	s.Sharpness.Detail = sharpness.Enough(got.Blur, subject.WidthPx, sharpness.Detail)
	if s.Sharpness.Detail || purpose > 0 && sharpness.Enough(got.Blur, subject.WidthPx, purpose) {
		return // nobody asks where the focus lies instead
	}
	if got.Blur > wellBlurred {
		s.Sharpness.BehindPx = 2 * behind(half, subject, 2)
	} else {
		s.Sharpness.BehindPx = behind(img, subject, 1)
	}
}

// wellBlurred is the blur of a subject from which on a picture of half the size
// shows as well whether what surrounds it is much sharper, in pixels.
const wellBlurred = 4

// behind is the blur of what surrounds a subject, read in a picture that is k times
// smaller than the subject's, in its own pixels; 0 where nothing tells.
func behind(img *image.RGBA, subject *Subject, k int) float64 {
	r := subject.Rect().Inset(-subject.Rect().Dx() / 4)
	round := image.Rect(r.Min.X/k, r.Min.Y/k, r.Max.X/k, r.Max.Y/k)
	read := sharpness.Read(sharpness.Of(img, round), func(x, y int) bool { return !subject.In(k*x, k*y) })
	if !read.Known {
		return 0
	}
	return read.Blur
}

// light reads the subject's exposure.
func (s *Seen) light(img *image.RGBA, subject *Subject) {
	e := sharpness.Expose(img, subject.Rect(), subject.In)
	s.Exposure = Exposure{Lights: e.Lights, Darks: e.Darks, TooLight: e.TooLight(), TooDark: e.TooDark()}
}

// measure takes a first size and colour, and what can be made out.
func (s *Seen) measure(img *image.RGBA, found *card.Found, subject *Subject, known Known) {
	pose := found.Plane.Pose(card.Film35(known.Film35, s.Width, s.Height))
	print := known.Print
	if print.Value == 0 {
		print = measure.UnknownPrint()
	}
	blur := s.Sharpness.BlurPx
	if !s.Sharpness.Known {
		blur = found.Blur()
	}
	resolves := measure.Resolving{PxPerMM: s.Card.PxPerMM / print.Value, Blur: blur}.Said()
	s.Resolves = resolves.String()
	s.Said.Put("resolves", resolves)
	if known.Flat {
		nominal := card.Millimetres(subject.WidthPx / s.Card.PxPerMM)
		scene := measure.Scene{Card: found, Pose: pose, Print: print, Above: measure.Range{From: 0, To: .7 * nominal}}
		if shape, err := scene.Outline(subject.Outline); err == nil {
			s.Size = &Size{WidthMM: float64(shape.Width.Value), U95MM: float64(shape.Width.U95)}
		}
	}
	got, err := truecolour.Measure(img, &found.Plane, found.Layout, truecolour.Unmeasured(found.Layout), known.Flash, subject.region)
	if err != nil {
		return
	}
	for _, a := range got.Advice {
		if a.Condition != truecolour.NeverMeasured {
			s.LightSays, s.LightSaid = append(s.LightSays, a.Text), append(s.LightSaid, said.As(said.Words(a.Text)))
		}
	}
	if got.Palette != nil {
		told := got.Palette.Mean.Tell()
		s.Colour = &Colour{Name: told.Name, Swatch: told.Swatch}
	}
}
