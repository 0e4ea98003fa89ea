package paper

import (
	"fmt"
	"math"

	"trug/science/place"
)

// plan is an outline in metres east and south of its north-western corner.
type plan struct {
	rings [][][2]float64
	w, h  float64
	meet  *[2]float64
	far   bool // the meeting point lies too far off to be on the map
}

// mostVertices is what a small map can show; more are thinned out.
const mostVertices = 2000

// extent is how far something reaches, in metres from a middle.
type extent struct{ west, south, east, north float64 }

func (e *extent) take(v [2]float64) {
	e.west, e.east = min(e.west, v[0]), max(e.east, v[0])
	e.south, e.north = min(e.south, v[1]), max(e.north, v[1])
}

// near reports whether v lies within half the extent's size of it.
func (e extent) near(v [2]float64) bool {
	reach := max(e.east-e.west, e.north-e.south) / 2
	return v[0] > e.west-reach && v[0] < e.east+reach && v[1] > e.south-reach && v[1] < e.north+reach
}

// plan lays the outline flat: east-west and north-south at their true length
// in its middle, which errs by less than a hair over a site's few kilometres.
// No rings give an empty plan.
func (o Outline) plan() (plan, error) {
	var p plan
	if len(o.Rings) == 0 {
		return p, nil
	}
	a, err := place.NewArea(o.Rings...)
	if err != nil {
		return p, fmt.Errorf("the site's outline cannot be drawn: %w", err)
	}
	flat := flatten(a.Centroid())
	e := extent{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, ring := range o.Rings {
		var r [][2]float64
		for i, every := 0, max(1, len(ring)/mostVertices); i < len(ring); i += every {
			v := flat(ring[i])
			e.take(v)
			r = append(r, v)
		}
		p.rings = append(p.rings, r)
	}
	if o.Meet != nil {
		if err := o.Meet.Valid(); err != nil {
			return plan{}, fmt.Errorf("the meeting point: %w", err)
		}
		if m := flat(*o.Meet); e.near(m) {
			e.take(m)
			p.meet = &m
		}
		p.far = p.meet == nil
	}
	p.w, p.h = e.east-e.west, e.north-e.south
	if !(p.w > 0 && p.h > 0 && !math.IsInf(p.w, 0) && !math.IsInf(p.h, 0)) {
		return plan{}, fmt.Errorf("the site's outline has no width or no height: check its points")
	}
	p.corner(e)
	return p, nil
}

// flatten returns what turns positions into metres east and north of c.
func flatten(c place.Position) func(place.Position) [2]float64 {
	// Metres a degree, measured over a hundredth of one.
	ky := float64(place.Distance(place.Position{Lat: c.Lat - .005, Lon: c.Lon}, place.Position{Lat: c.Lat + .005, Lon: c.Lon})) * 100
	kx := float64(place.Distance(place.Position{Lat: c.Lat, Lon: 0}, place.Position{Lat: c.Lat, Lon: .01})) * 100
	return func(q place.Position) [2]float64 {
		east := math.Mod(float64(q.Lon-c.Lon)+540, 360) - 180
		return [2]float64{east * kx, float64(q.Lat-c.Lat) * ky}
	}
}

// corner moves everything so that it is counted from the north-western corner.
func (p *plan) corner(e extent) {
	turn := func(v [2]float64) [2]float64 { return [2]float64{v[0] - e.west, e.north - v[1]} }
	for _, r := range p.rings {
		for i := range r {
			r[i] = turn(r[i])
		}
	}
	if p.meet != nil {
		*p.meet = turn(*p.meet)
	}
}

// chart draws the plan to scale in a frame of w millimetres and at most high,
// with a scale bar and an arrow to the north, and returns the y below. An
// empty plan draws nothing.
func (d *drawing) chart(p plan, x, y, w, high float64) float64 {
	if len(p.rings) == 0 {
		return y
	}
	const edge, strip = 4, 9 // round the outline; below it, for the scale
	k := min((w-2*edge-6)/p.w, (high-2*edge-strip)/p.h)
	h := max(p.h*k+2*edge+strip, 28)
	d.frame(x, y, w, h, .3, ink)
	ox, oy := x+(w-6-p.w*k)/2, y+edge+max(0, (h-strip-2*edge-p.h*k)/2)
	d.outline(p, ox, oy, k)
	d.arrow(x+w-5, y+3.5)
	d.scaleBar(x+edge, y+h-3.2, k, w*.55)
	small := style{face: sans, size: 8}
	switch m := p.meet; {
	case m != nil:
		d.cross(ox+m[0]*k, oy+m[1]*k)
		d.cross(x+w-15, y+h-4.2)
		d.textLeft(x+w-12.6, y+h-3.2, small, "meet")
	case p.far:
		return d.paragraph("", x, y+h+.5, w, small, "The meeting point lies off this map.")
	}
	return y + h
}

func (d *drawing) outline(p plan, ox, oy, k float64) {
	if d.muted {
		return
	}
	defer d.unmark(d.mark("Figure", fmt.Sprintf("Map of the site's outline, %.0f m from west to east and %.0f m from north to south.", p.w, p.h)))
	d.inkDraw(ink)
	d.pdf.SetLineJoinStyle("round")
	d.pdf.SetLineWidth(.5)
	for _, r := range p.rings {
		for i, v := range r {
			if i == 0 {
				d.pdf.MoveTo(ox+v[0]*k, oy+v[1]*k)
			} else {
				d.pdf.LineTo(ox+v[0]*k, oy+v[1]*k)
			}
		}
		d.pdf.ClosePath()
		d.pdf.DrawPath("D")
	}
	d.pdf.SetLineJoinStyle("miter")
}

// arrow points north; x, y is its tip.
func (d *drawing) arrow(x, y float64) {
	d.rule(x, y, x, y+9, .4, ink)
	d.rule(x, y, x-1.6, y+3, .4, ink)
	d.rule(x, y, x+1.6, y+3, .4, ink)
	d.textMiddle(x, y+12.4, style{face: sansBold, size: 9}, "N")
}

func (d *drawing) cross(x, y float64) {
	d.rule(x-1.3, y-1.3, x+1.3, y+1.3, .6, ink)
	d.rule(x-1.3, y+1.3, x+1.3, y-1.3, .6, ink)
}

// scaleBar draws the longest round length of at most w millimetres; k is
// millimetres on paper for each metre on the ground.
func (d *drawing) scaleBar(x, y, k, w float64) {
	metres := roundLength(w / k)
	d.rule(x, y, x+metres*k, y, .4, ink)
	d.rule(x, y-1.2, x, y+.2, .4, ink)
	d.rule(x+metres*k, y-1.2, x+metres*k, y+.2, .4, ink)
	text := fmt.Sprintf("%g m", metres)
	if metres >= 1000 {
		text = fmt.Sprintf("%g km", metres/1000)
	}
	d.textLeft(x, y-1.8, style{face: sans, size: 8}, text)
}

// roundLength is the greatest of 1, 2 or 5 times a power of ten up to most.
func roundLength(most float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(most)))
	for _, f := range []float64{5, 2} {
		if f*p <= most {
			return f * p
		}
	}
	return p
}
