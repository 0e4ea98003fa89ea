package sharpness

import (
	"image"
	"math"
	"slices"
)

// The rim of a thing is a step between it and what lies behind, and a lens that
// blurs the thing blurs this step alike, however sharp what lies behind is: the
// one edge of a photograph that is known to be the thing's own. Its outline says
// where to look, so that it is told from leaves that end beside it.
//
// It is sought in a small picture first and then in larger ones, near where the
// smaller had it (Bergholm 1987, edge focusing), until a picture is large enough
// to show its blur: what is finer than that is not the rim, but what shines
// through it.

const (
	// arcs are the parts of a rim that are read each by itself.
	arcs = 32
	// leastArcs of them must lie in the picture.
	leastArcs = 8
	// small is how many of its own pixels wide a thing must be in the smallest
	// picture looked at.
	small = 80
	// shown is from which spread on, in a picture's own pixels, it shows a blur.
	shown = 1.2
	// lower is which part of the arcs are sharper than the rim is taken for: what
	// lies close to the rim widens an arc more often than it narrows one.
	lower = .4
	// alike is by how much, as a logarithm, an arc that agrees may differ; agreeing
	// is what part of them must.
	alike, agreeing = .25, .5
	// risenBy is how many times above noise a rim stands, told from places so far
	// apart along it, and leastSlope that of a file's darkest step.
	risenBy, apart, leastSlope = 3, 12, 3e-5
	// kept is how many pixels to both sides of a rim are looked at.
	kept = 12
)

// arc is what a part of the rim says: the spread in a picture's own pixels, seen
// across the rim, whose normal has an angle.
type arc struct{ spread, angle float64 }

// rim is the whole.
type rim struct {
	arcs      []arc
	step      float64 // a pixel of the picture it was read in, pixels of the photograph
	before    float64
	sharpened float64
	columns   int // steps along the line that the arcs hold
	silent    int // arcs in which no step is seen
}

// ReadThing tells how sharp a thing is, from its rim and what lies within. The
// outline may lie off the rim by a hundredth of the thing's width here and there;
// in says what is within it. Where no outline is known (nil), or the rim says
// nothing clear, the edges within count.
func ReadThing(img *image.RGBA, rect image.Rectangle, outline []Point, width float64, in func(x, y int) bool) Reading {
	levels := 1
	for levels < 4 && width/float64(int(1)<<levels) >= small {
		levels++
	}
	margin := (kept+4)<<(levels-1) + 4
	seen := part{img, rect.Inset(-margin).Intersect(img.Rect)}
	r, ok := rim{}, false
	if outline != nil {
		r, ok = seen.rim(outline, width, levels)
	}
	if !ok {
		d := max(int(width*near), 1)
		return Read(Of(img, seen.Rectangle), func(x, y int) bool { return in(x-d, y) || in(x+d, y) || in(x, y-d) || in(x, y+d) })
	}
	told, clear := r.tell()
	if clear {
		return told
	}
	// The rim is not where the outline has it, or too faint: well away from it only
	// the thing's own edges are left, and the sharper of both counts.
	d := max(int(through*r.part(.75)*r.step), int(width*near), 1)
	inside := Read(Of(img, rect), func(x, y int) bool { return in(x-d, y) && in(x+d, y) && in(x, y-d) && in(x, y+d) })
	// Edges that lie all over it, as many as it is wide, are no chance.
	if all := float64(inside.Edges) * max(inside.Blur/believed, 1); inside.Known && inside.Blur < told.Blur && all > width {
		return inside
	}
	return told
}

const (
	// near is how far round a thing its own edge reaches, in parts of its width.
	near = .004
	// through is how many spreads within the rim of a blurred thing what lies behind
	// still shines through: to one part in a hundred and sixty.
	through = 2.5
)

// rim reads a thing's rim; false where too little of it lies in the picture.
func (p part) rim(line []Point, width float64, levels int) (rim, bool) {
	pictures := []looked{p}
	before := []float64{0}
	for i, last := 1, (*Light)(nil); i < levels; i++ {
		if i == 1 {
			last = p.half()
		} else {
			last = last.half()
		}
		pictures = append(pictures, last)
		before = append(before, (before[i-1]+.75)/4)
	}
	var r rim
	var where []float64
	var tall []float32
	for level := levels - 1; level >= 0; level-- {
		step := float64(int(1) << level)
		own := make([]Point, len(line))
		for i, q := range line {
			own[i] = Point{(q.X-float64(p.Min.X)+.5)/step - .5, (q.Y-float64(p.Min.Y)+.5)/step - .5}
		}
		along, ok := walked(own, max(.012*width/step, 2))
		if w, h := pictures[level].size(); !ok || min(w, h) < 2*kept {
			continue
		}
		now := rim{step: step, before: before[level]}
		where, tall = now.read(pictures[level], along, where, tall, min(6, int(.04*width/step)+2))
		if len(now.arcs) < leastArcs {
			continue
		}
		if r = now; r.part(.5) >= shown {
			break
		}
	}
	return r, len(r.arcs) >= leastArcs
}

// read finds the rim in one picture, near where the smaller one had it, and reads
// its arcs. It returns where it lies and how tall its step is all along.
func (r *rim) read(picture looked, along walk, smaller []float64, heights []float32, search int) (where []float64, tall []float32) {
	n := len(along.at)
	guess := make([]float64, n)
	if smaller != nil {
		search = 3
		guess = resampled(smaller, n)
		for u := range guess {
			guess[u] = min(max(2*guess[u], 3-kept), kept-3)
		}
	}
	where = along.straight(picture, kept+2, wide)[0].along(2).ridge(guess, search)
	s := along.shifted(where).straight(picture, kept, narrow, wide)
	tall = s[1].row(0, 3)
	// A place counts by the height of the smaller picture's step there, with its
	// sign: what is not the rim's adds up to nothing.
	weight := slices.Clone(tall)
	if heights != nil {
		weight = resampled(heights, n)
	}
	limited(weight)
	if !risen(tall, s[1].row(-kept, 3)) {
		return where, tall
	}
	if r.step == 1 { // in smaller pictures a phone's sharpening is hardly seen
		r.sharpened = fitted(profile(s[0], s[1], weight, 0, n), r.before, r.step).sharpened
	}
	for i := range arcs {
		from, to := i*n/arcs, (i+1)*n/arcs
		if slices.Contains(s[0].whole[from:to], false) {
			continue
		}
		m := along.normal[(from+to)/2]
		e := profile(s[0], s[1], weight, from, to)
		if e.ratio == 0 {
			r.silent++
			continue
		}
		r.arcs = append(r.arcs, arc{spreadOf(e, r.before, r.step, r.sharpened), math.Atan2(m.Y, m.X)})
		r.columns += to - from
	}
	return where, tall
}

// risen says whether the slopes along a rim stand out of what noise and texture
// make of the thing itself, some way within: noise alone gives as much as there
// (once the steepest way through it was sought), rims that can be seen at all four
// times that.
func risen(rim, within []float32) bool {
	slope, other := make([]float32, len(rim)), make([]float32, len(rim))
	for u, v := range rim {
		d := within[u] - within[(u+apart)%len(within)]
		slope[u], other[u] = max(v, -v), max(d, -d)
	}
	slices.Sort(slope)
	slices.Sort(other)
	// The middle difference of two values of a normal distribution is .954 of their
	// standard deviation.
	return slope[len(slope)/2] > risenBy*max(other[len(other)/2]/.954, leastSlope)
}

// limited takes values that are more than twice the middle one down to that.
func limited(v []float32) {
	m := make([]float32, len(v))
	for i := range v {
		m[i] = max(v[i], -v[i])
	}
	slices.Sort(m)
	top := 2 * m[len(m)/2]
	for i := range v {
		v[i] = min(max(v[i], -top), top)
	}
}

// profile is the step of a part of the line, from slopes smoothed narrowly and
// widely.
func profile(a, b *strip, weight []float32, from, to int) edge {
	sum := func(s *strip, d int) (t float64) {
		for u := from; u < to; u++ {
			if s.whole[u] {
				t += float64(weight[u]) * s.at(u, d)
			}
		}
		return t
	}
	var e edge
	middle, broad := sum(a, 0), sum(b, 0)
	if middle <= 0 || broad <= 0 { // no step in the smaller picture's direction
		return e
	}
	e.ratio = middle / broad
	for d := range e.side {
		e.side[d] = (sum(a, d+1) + sum(a, -d-1)) / (2 * middle)
	}
	return e
}

// part is the spread, own pixels, below which a part of the arcs lie.
func (r *rim) part(p float64) float64 {
	v := make([]float64, len(r.arcs))
	for i, a := range r.arcs {
		v[i] = a.spread
	}
	slices.Sort(v)
	return quantile(v, p)
}

// quantile is the value below which a part of sorted ones lie.
func quantile(v []float64, p float64) float64 { return v[int(p*float64(len(v)-1)+.5)] }
