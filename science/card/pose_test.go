package card

import (
	"math"
	"testing"
)

// Camera heights and tilts of the rendered photographs that were not cropped,
// with the focal length their file states. (photos.csv: card_001 535.35 mm and
// 33.69 degrees.)
func TestPoseOfWholePhotographs(t *testing.T) {
	l := Layouts()[0]
	n := 0
	for _, p := range table(t, "testdata/photos.csv") {
		if p.num("crop_x") != 0 || p.num("crop_y") != 0 {
			continue
		}
		n++
		plane := planeOfPhoto(t, l, p, 4000, 3000)
		for _, known := range []Focal{{p.num("focal_px"), .001}, {p.num("focal_px") * 1.04, .035}, Film35(0, 4000, 3000)} {
			pose := plane.Pose(known)
			wrong := math.Abs(float64(pose.Height) - p.num("camera_height_mm"))
			if wrong > 3*float64(pose.HeightU)+.5 || known.Relative < .01 && wrong > .003*p.num("camera_height_mm") {
				t.Errorf("%s, focal %.0f: height %.1f (u %.1f), truly %.1f", p.text["photo"], known.Px, pose.Height, pose.HeightU, p.num("camera_height_mm"))
			}
			if known.Relative < .01 && math.Abs(float64(pose.Tilt)-p.num("tilt_deg")) > .5 {
				t.Errorf("%s: tilt %.2f, truly %.2f", p.text["photo"], pose.Tilt, p.num("tilt_deg"))
			}
		}
	}
	if n != 3 {
		t.Errorf("%d whole photographs", n)
	}
}

// planeOfPhoto fits the plane to the true corners of a rendered photograph.
func planeOfPhoto(t *testing.T, l *Layout, p line, width, height int) Plane {
	t.Helper()
	var spots []Spot
	var pixels []Pixel
	for _, c := range table(t, "testdata/corners.csv") {
		if c.text["photo"] == p.text["photo"] {
			for i, k := range []string{"tl", "tr", "br", "bl"} {
				spots = append(spots, l.Corners(int(c.num("tag_id")))[i])
				pixels = append(pixels, Pixel{c.num("x_" + k), c.num("y_" + k)})
			}
		}
	}
	plane, err := FitPlane(l, width, height, spots, pixels)
	if err != nil {
		t.Fatal(err)
	}
	return plane
}

// Heights and tilts of the rendered photographs that were cropped (photos.csv:
// card_010 starts at 1556, 163 of 4000 by 3000 and was taken from 388.18 mm): with
// the place of the part they come out as of whole ones; as if the part were a
// whole photograph they come out wrong.
func TestPoseOfParts(t *testing.T) {
	l := Layouts()[0]
	n, misled := 0, 0
	for _, p := range table(t, "testdata/photos.csv") {
		if p.num("crop_x") == 0 && p.num("crop_y") == 0 {
			continue
		}
		plane := planeOfPhoto(t, l, p, int(p.num("width")), int(p.num("height")))
		n++
		whole := Whole{int(p.num("crop_x")), int(p.num("crop_y")), 4000, 3000}
		truly, known := p.num("camera_height_mm"), Focal{p.num("focal_px"), .001}
		pose := plane.PoseOfPart(known, whole)
		if wrong := math.Abs(float64(pose.Height) - truly); wrong > 3*float64(pose.HeightU)+.5 || wrong > .004*truly {
			t.Errorf("%s: height %.1f (u %.1f), truly %.1f", p.text["photo"], pose.Height, pose.HeightU, truly)
		}
		if math.Abs(float64(pose.Tilt)-p.num("tilt_deg")) > .5 {
			t.Errorf("%s: tilt %.2f, truly %.2f", p.text["photo"], pose.Tilt, p.num("tilt_deg"))
		}
		as := plane.Pose(Film35(27, int(p.num("width")), int(p.num("height"))))
		if math.Abs(float64(as.Height)-truly) > .1*truly {
			misled++
		}
	}
	if n != 9 || misled < 5 {
		t.Errorf("%d parts, of which %d mislead as whole photographs", n, misled)
	}
}

// A camera straight above: the height is focal length by scale, and the tilt
// nothing.
func TestPoseFromAbove(t *testing.T) {
	l := Layouts()[1]
	p := newPlane(l, 4000, 3000)
	// 8 pixels a millimetre, the card's middle in the picture's.
	if !p.set([planeParams]float64{8 * p.unit, 0, p.centre.X, 0, 8 * p.unit, p.centre.Y}) {
		t.Fatal("no plane")
	}
	pose := p.Pose(Focal{3200, .0001})
	if math.Abs(float64(pose.Height)-400) > .5 || pose.Tilt > .1 {
		t.Errorf("%+v", pose)
	}
}

// A part of the picture shows the plane where the whole shows it, shifted: spots,
// their way back, scale and the pose round the same axis.
func TestPlaneInPart(t *testing.T) {
	found := (&Finder{}).FindGrey(openGrey(t, "testdata/rendered/card_050.jpg")).Cards[0]
	whole := &found.Plane
	const left, top = 137, 61
	part := whole.InPart(left, top)
	for _, s := range []Spot{{0, 0}, {105, 74}, {-40, 120}, {30, 10}} {
		a, b := whole.ToImage(s), part.ToImage(s)
		if math.Abs(a.X-left-b.X) > 1e-9 || math.Abs(a.Y-top-b.Y) > 1e-9 {
			t.Errorf("%v is seen at %v in the whole and at %v in the part", s, a, b)
		}
		back, ok := part.ToCard(b)
		if !ok || math.Abs(float64(back.X-s.X)) > 1e-6 || math.Abs(float64(back.Y-s.Y)) > 1e-6 {
			t.Errorf("%v comes back as %v", s, back)
		}
	}
	if a, b := whole.PxPerMM(whole.Middle()), part.PxPerMM(part.Middle()); math.Abs(a-b) > 1e-9 {
		t.Errorf("%g pixels a millimetre become %g", a, b)
	}
	size := openGrey(t, "testdata/rendered/card_050.jpg").Rect
	known := Film35(27, size.Dx(), size.Dy())
	a, b := whole.Pose(known), part.PoseOfPart(known, Whole{Left: left, Top: top, Width: size.Dx(), Height: size.Dy()})
	if math.Abs(float64(a.Height-b.Height)) > .01*float64(a.Height) || math.Abs(float64(a.Tilt-b.Tilt)) > .2 {
		t.Errorf("the whole is seen from %v mm at %v degrees, its part from %v mm at %v degrees", a.Height, a.Tilt, b.Height, b.Tilt)
	}
}
