package cli

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"image"
	"io/fs"
	"math"
	"slices"

	"trug/science/card"
	"trug/science/measure"
	"trug/science/photo"
	"trug/science/view"
)

// measuredVersion is the version of the object that docs/formats.md
// describes.
const measuredVersion = 1

// measured is what trug measure says of a photograph.
type measured struct {
	Version   int              `json:"version"`
	File      string           `json:"file"`
	SHA256    string           `json:"sha256,omitempty"`
	Card      measuredCard     `json:"card"`
	Lengths   []measuredLength `json:"lengths"`
	Colours   []measuredColour `json:"colours,omitempty"`
	Sharpness *sharpness       `json:"sharpness"`
	Problems  []string         `json:"problems"`
	failed    bool
	outlines  [][]card.Pixel // that were measured
}

type measuredCard struct {
	Found          bool          `json:"found"`
	Layout         string        `json:"layout,omitempty"`
	Batch          *int          `json:"batch"`
	Tags           []measuredTag `json:"tags"`
	PxPerMM        float64       `json:"pxPerMm,omitempty"`
	TiltDeg        float64       `json:"tiltDeg"`
	CameraHeightMM float64       `json:"cameraHeightMm,omitempty"`
	HeightU95MM    float64       `json:"cameraHeightU95Mm,omitempty"`
	ResidualPx     float64       `json:"residualPx"`
	Bent           bool          `json:"bent"`
	Screen         bool          `json:"onScreen"`
}

type measuredTag struct {
	ID      int           `json:"id"`
	Corners [4][2]float64 `json:"corners"`
	Covered bool          `json:"covered"`
}

type measuredLength struct {
	Kind       string         `json:"kind"`
	MM         float64        `json:"mm"`
	U95MM      float64        `json:"u95Mm"`
	ExpandedMM float64        `json:"expandedMm"`
	Budget     []budgetLine   `json:"budget"`
	Points     [][2]float64   `json:"points"`
	AreaMM2    *float64       `json:"areaMm2,omitempty"`
	AreaU95    *float64       `json:"areaU95Mm2,omitempty"`
	Sure       *float64       `json:"sure,omitempty"`
	AboveMM    [2]float64     `json:"aboveMm"`
	Print      map[string]any `json:"print"`
	Words      string         `json:"words"`
}

type budgetLine struct {
	Source string  `json:"source"`
	UMM    float64 `json:"uMm"`
}

type sharpness struct {
	Of          string  `json:"of"`
	BlurPx      float64 `json:"blurPx"`
	FinestPerMM float64 `json:"finestPerMm"`
	Words       string  `json:"words"`
}

// The kinds of lengths.
const (
	kindBetween = "between"
	kindWidth   = "width"
	kindAcross  = "across"
)

func pair(p card.Pixel) [2]float64 { return [2]float64{thousandths(p.X), thousandths(p.Y)} }

func thousandths(v float64) float64 { return math.Round(v*1000) / 1000 }

// measureFile finds the card in a photograph and measures what is asked.
func measureFile(ctx context.Context, finder *card.Finder, path string, a asked) measured {
	m := measured{Version: measuredVersion, File: path, Lengths: []measuredLength{}, Problems: []string{}, Card: measuredCard{Tags: []measuredTag{}}}
	img, facts, raw, err := open(ctx, path)
	if raw != nil {
		sum := sha256.Sum256(raw)
		m.SHA256 = hex.EncodeToString(sum[:])
	}
	if err != nil {
		m.failed = true
		m.Problems = append(m.Problems, unreadable(err))
		return m
	}
	size := image.Pt(img.Rect.Dx(), img.Rect.Dy())
	finder.Lens = card.Film35(facts.Lens35(), size.X, size.Y)
	seen := finder.Find(img)
	m.Problems = append(m.Problems, seen.Problems(size)...)
	if len(seen.Cards) == 0 {
		m.failed = true
		return m
	}
	found := &seen.Cards[0]
	pose := found.Plane.Pose(finder.Lens)
	m.tellCard(found, pose)
	switch known := fmt.Sprintf("the camera's height is known to %.0f %% only", 200*float64(pose.HeightU/pose.Height)); {
	case facts.Cropped && facts.FocalLength35 > 0:
		m.Problems = append(m.Problems, "The photograph was cropped after it was taken, so that "+known+": send it whole, as the camera wrote it.")
	case facts.FocalLength35 == 0:
		m.Problems = append(m.Problems, "The photograph doesn't tell its focal length, so that "+known+": send photographs as the camera wrote them.")
	}
	scene := measure.Scene{Card: found, Pose: pose}
	m.take(&scene, img, a)
	m.sharpSubject(img)
	m.colours(img, found, facts.Flash, a.colour, m.outlines)
	return m
}

// proposedSays warns of what the interval leaves out (docs/uncertainty.md).
const proposedSays = "The outline is proposed by the program, which in one case of a hundred or more takes a leaf for part of the fungus: look at it before you believe its sizes."

// caution tells something once.
func (m *measured) caution(says string) {
	if !slices.Contains(m.Problems, says) {
		m.Problems = append(m.Problems, says)
	}
}

// unreadable says why a file was not measured in.
func unreadable(err error) string {
	if errors.Is(err, fs.ErrNotExist) {
		return "There is no such file: check its name."
	}
	if errors.Is(err, photo.ErrTooLarge) {
		return err.Error() + ", or take a single photograph instead of a panorama"
	}
	return err.Error()
}

func (m *measured) tellCard(found *card.Found, pose card.Pose) {
	px := found.Plane.PxPerMM(found.Plane.Middle())
	m.Card = measuredCard{Found: true, Layout: found.Layout.ID, Tags: []measuredTag{}, PxPerMM: thousandths(px), TiltDeg: thousandths(float64(pose.Tilt)),
		CameraHeightMM: thousandths(float64(pose.Height)), HeightU95MM: thousandths(2 * float64(pose.HeightU)), ResidualPx: thousandths(found.Residual), Bent: found.Bent, Screen: found.Screen}
	if found.BatchKnown {
		m.Card.Batch = &found.Batch
	}
	for _, t := range found.Tags {
		g := measuredTag{ID: t.ID, Covered: t.Covered}
		for i, c := range t.Corners {
			g.Corners[i] = pair(c)
		}
		m.Card.Tags = append(m.Card.Tags, g)
	}
	if blur := found.Blur(); blur > 0 {
		m.sharp(ofCard, blur)
	}
}

// What sharpness may be of. The camera may have set its focus on the card and
// not on the fungus, so that the card's counts only where the fungus was not
// shown.
const (
	ofCard    = "card"
	ofSubject = "subject"
)

func (m *measured) sharp(of string, blur float64) {
	r := measure.Resolving{PxPerMM: m.Card.PxPerMM, Blur: blur}
	m.Sharpness = &sharpness{of, thousandths(blur), thousandths(r.Finest()), r.Words()}
}

// sharpSubject takes the sharpness of the sharpest fruitbody that was measured.
func (m *measured) sharpSubject(img *image.RGBA) {
	least := math.Inf(1)
	for _, o := range m.outlines {
		subject := view.SubjectOf(img.Rect, o)
		if subject == nil {
			continue
		}
		if got := subject.Sharpness(img); got.Known {
			least = min(least, got.Blur)
		}
	}
	if !math.IsInf(least, 1) {
		m.sharp(ofSubject, least)
	}
}

// take measures what is asked in a scene.
func (m *measured) take(scene *measure.Scene, img *image.RGBA, a asked) {
	if len(a.between)+len(a.outlines) == 0 {
		return
	}
	how := m.scale(scene, a)
	if a.standing {
		scene.Lies = measure.Upright
	}
	if a.above != nil {
		scene.Above = *a.above
	} else {
		m.Problems = append(m.Problems, "What is measured is taken to lie in the card's plane: say with --card-below how far the card lies below it.")
	}
	add := func(kind string, v measure.Measured, points ...card.Pixel) *measuredLength {
		l := measuredLength{Kind: kind, MM: thousandths(float64(v.Value)), U95MM: thousandths(float64(v.U95)), ExpandedMM: thousandths(float64(v.Expanded)),
			AboveMM: [2]float64{float64(scene.Above.From), float64(scene.Above.To)}, Print: how, Words: v.Words()}
		for _, b := range v.Budget {
			l.Budget = append(l.Budget, budgetLine{string(b.Source), thousandths(b.U)})
		}
		for _, p := range points {
			l.Points = append(l.Points, pair(p))
		}
		m.Lengths = append(m.Lengths, l)
		return &m.Lengths[len(m.Lengths)-1]
	}
	var picture *measure.Picture
	if len(a.outlines) > 0 || a.snap {
		picture = measure.NewPicture(img)
	}
	for _, b := range a.between {
		if a.snap {
			b = m.snapped(scene, picture, b)
		}
		v, err := scene.Length(b[0], b[1])
		scene.Placing = 0
		if err != nil {
			m.refuse(err)
			continue
		}
		add(kindBetween, v, b[:]...)
	}
	for _, shown := range a.outlines {
		asked := scene.Asking(shown...)
		asked.Outside = a.outside
		o, err := picture.Outline(asked)
		if err != nil {
			m.refuse(err)
			continue
		}
		m.caution(proposedSays)
		scene.Placing = o.Placing
		shape, err := scene.Outline(o.Points)
		scene.Placing = 0
		if err != nil {
			m.refuse(err)
			continue
		}
		m.outlines = append(m.outlines, o.Points)
		l := add(kindWidth, shape.Width, o.Points...)
		area, u, sure := thousandths(float64(shape.Area)), thousandths(float64(shape.AreaU95)), thousandths(o.Sure)
		l.AreaMM2, l.AreaU95, l.Sure = &area, &u, &sure
		add(kindAcross, shape.Across)
	}
}

// snapReachMM is how far an end may lie from the edge that it is moved to.
const snapReachMM = 2

// snapped moves the ends of a length to the edges near them.
func (m *measured) snapped(scene *measure.Scene, picture *measure.Picture, b [2]card.Pixel) [2]card.Pixel {
	out := b
	for i := range b {
		s, err := picture.Snap(b[i], b[1-i], max(snapReachMM*m.Card.PxPerMM, 6))
		if err != nil {
			m.caution("An end was left where it was put: " + err.Error() + ".")
			continue
		}
		out[i] = s.At
		scene.Placing = max(scene.Placing, s.U)
	}
	return out
}

// refuse says why one length was not measured.
func (m *measured) refuse(err error) {
	m.Problems = append(m.Problems, "Not measured: "+err.Error()+".")
	m.failed = true
}

// scale decides how large the card was printed, and says so.
func (m *measured) scale(scene *measure.Scene, a asked) map[string]any {
	how := "true to size"
	switch {
	case a.control != 0:
		// read has refused what is no length of a control line
		scene.Print, _ = measure.ControlLine(measure.Millimetres(a.control))
		how = "by its control line"
	case m.Card.Layout == "reference":
		scene.Print = measure.TrueToSize()
	default:
		scene.Print = measure.UnknownPrint()
		how = "unknown, 92 to 101 %"
		m.Problems = append(m.Problems, "Nobody has measured this card's control line, so that it may have been printed at 92 to 101 %: measure the line of 100 mm on its sheet, and give --control-line.")
	}
	return map[string]any{"scale": thousandths(scene.Print.Value), "u": thousandths(scene.Print.U), "how": how}
}
