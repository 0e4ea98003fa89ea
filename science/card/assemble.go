package card

import (
	"math"
	"slices"
)

// assemble makes a card of the tags of one: its plane from all their edges,
// the tags that were not seen by themselves, and how flat it is.
func (f *Finder) assemble(base *level, tags []tagFit) (Found, bool) {
	l, _ := seatOf(tags[0].id)
	plane, ok := cornersPlane(l, base, tags, indices(len(tags)))
	if !ok {
		return Found{}, false
	}
	out := Found{Layout: l}
	even, odd := -1, -1
	for _, t := range tags {
		if t.seat&1 == 0 {
			even = t.id / 4
		} else {
			odd = t.id / 4
		}
	}
	lens := f.Lens
	if lens.Px == 0 {
		lens = Film35(0, base.w, base.h)
	}
	fitPlane(&plane, nil, l, tags, lens)
	for i := range 4 {
		// The seats whose tag is known come first: they are found even if dim.
		seat := i
		if even < 0 {
			seat = [4]int{1, 3, 0, 2}[i]
		}
		if slices.ContainsFunc(tags, func(t tagFit) bool { return t.seat == seat }) {
			continue
		}
		// Where no tag tells which batch the neighbours come from, any of the
		// layout's for this seat will do.
		want := anyTag
		if quad := [2]int{even, odd}[seat&1]; quad >= 0 {
			want = 4*quad + seat
		}
		// One tag shows where the others lie only roughly.
		away := 1.3
		if len(tags) == 1 {
			away = 4
		}
		if t, ok := f.search(base, l, &plane, want, seat, away); ok {
			tags = append(tags, t)
			if seat&1 == 0 {
				even = t.id / 4
			} else {
				odd = t.id / 4
			}
			if wider, ok := cornersPlane(l, base, tags, indices(len(tags))); ok && len(tags) == 2 {
				plane = wider
			}
			fitPlane(&plane, nil, l, tags, lens)
		}
	}
	out.nameBatch(tags)
	// What is hidden is taken to be as in the first batches, whose tags all
	// come from one quad, where nothing tells: it counts only where it is seen.
	if even < 0 {
		even = odd
	} else if odd < 0 {
		odd = even
	}
	if len(tags) > 1 {
		if more := f.hidden(base, l, &plane, tags, even, odd); len(more) > 0 {
			tags = append(tags, more...)
			fitPlane(&plane, nil, l, tags, lens)
		}
	}
	out.Plane = plane
	out.straighten(tags, lens)
	out.judge(tags)
	out.Screen = out.onScreen(base)
	return out, true
}

// nameBatch tells the batch from two neighbours that were read.
func (c *Found) nameBatch(tags []tagFit) {
	even, odd := -1, -1
	for _, t := range tags {
		if t.seat&1 == 0 {
			even = t.id / 4
		} else {
			odd = t.id / 4
		}
	}
	c.BatchKnown = even >= 0 && odd >= 0 || c.Layout.Quads == 1
	if c.BatchKnown && c.Layout.Quads > 1 {
		c.Batch = c.Layout.batchOf(even, odd)
	}
}

// leastSeen is how much of a covered tag's borders must be seen where the
// plane has them before it counts as there. With two tags alone, and on a bent
// card, the plane may be off by a cell, in which a third of the borders fall
// on others.
const leastSeen, leastSeenFar = .3, .55

// wholeSeen is how much of a tag's borders are seen when nothing covers it.
const wholeSeen = .88

// search looks for a tag near where the plane has it, once with the noise
// taken down and once with less taken for dark. It wants one tag, or any of the
// layout's for the seat, at most away times its size from there.
func (f *Finder) search(base *level, l *Layout, plane *Plane, want, seat int, away float64) (tagFit, bool) {
	q, ok := inView(base, l, plane, seat)
	if !ok {
		return tagFit{}, false
	}
	size, m := side(q), middle(q)
	i := 0
	for i+1 < len(f.levels) && size/float64(int(1)<<i) > mostSide*.6 {
		i++
	}
	k := float64(int(1) << i)
	reach := (.3+away)*size/k + 8
	region, ok := f.levels[i].part(int(m.X/k-reach), int(m.Y/k-reach), int(m.X/k+reach), int(m.Y/k+reach), f.cut)
	if !ok {
		return tagFit{}, false
	}
	f.cut = region.pix
	for _, dark := range []float32{.58, .45, .68, .35} {
		if t, ok := f.searchIn(base, &region, dark, want, l, seat); ok {
			if at := middle(t.corners); math.Hypot(at.X-m.X, at.Y-m.Y) < away*size {
				return t, true
			}
		}
	}
	return tagFit{}, false
}

// searchIn looks for a seat's tag in a region.
func (f *Finder) searchIn(base, region *level, dark float32, want int, l *Layout, seat int) (tagFit, bool) {
	before := len(f.seen)
	f.scan(region, dark, want)
	found := f.seen[before:]
	f.seen = f.seen[:before]
	for _, s := range found {
		if k, at := seatOf(s.id); k != l || at != seat {
			continue
		}
		t, ok := f.refine(base, s.id, s.corners)
		if ok && far(t.corners, s.corners) <= .6*s.side/blackCells+1.5 {
			t.seat = seat
			return t, true
		}
	}
	return tagFit{}, false
}

// inView is where the plane has a tag, if that lies in the picture.
func inView(base *level, l *Layout, plane *Plane, seat int) (q [4]Pixel, ok bool) {
	for i, c := range l.Corners(seat) {
		q[i] = plane.ToImage(c)
		if !(q[i].X > -50 && q[i].Y > -50 && q[i].X < float64(base.w)+50 && q[i].Y < float64(base.h)+50) {
			return q, false
		}
	}
	return q, true
}

func indices(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// hidden looks for the visible edges of tags that cannot be read, where the
// plane has them.
func (f *Finder) hidden(base *level, l *Layout, plane *Plane, tags []tagFit, even, odd int) (more []tagFit) {
	for seat := range 4 {
		quad := [2]int{even, odd}[seat&1]
		if quad < 0 || slices.ContainsFunc(tags, func(t tagFit) bool { return t.seat == seat }) {
			continue
		}
		t := tagFit{id: 4*quad + seat, seat: seat, sure: math.NaN()}
		var ok bool
		if t.corners, ok = inView(base, l, plane, seat); !ok {
			continue
		}
		if t.sq, ok = squareOf(t.corners); !ok {
			continue
		}
		for _, o := range tags {
			t.blur += o.blur / float64(len(tags))
		}
		t.blur = max(t.blur, .4)
		// A tag that is whole was only too faint to be found.
		if whole, ok := f.refine(base, t.id, t.corners); ok && whole.good > .8 && far(whole.corners, t.corners) < side(t.corners)/blackCells {
			whole.seat = seat
			more = append(more, whole)
			continue
		}
		least := leastSeen
		if len(tags) < 3 || !fits(l, plane, tags) {
			least = leastSeenFar
		}
		if f.look(base, &t, f.borders(t.id)); t.good >= least {
			more = append(more, t)
		}
	}
	return more
}

// fits reports whether the plane has the tags' corners within a third of a
// cell: on a bent card it has not.
func fits(l *Layout, plane *Plane, tags []tagFit) bool {
	for _, t := range tags {
		for i, c := range l.Corners(t.seat) {
			p := plane.ToImage(c)
			if d := math.Hypot(p.X-t.corners[i].X, p.Y-t.corners[i].Y); !(d < side(t.corners)/blackCells/3) {
				return false
			}
		}
	}
	return true
}

// spotOf takes a point of a tag's black square to the card.
func spotOf(l *Layout, seat int, u, v float64) Spot {
	b := l.Tags[seat].Black
	return Spot{b.X + b.W*Millimetres(u), b.Y + b.H*Millimetres(v)}
}

// judge compares each tag's own corners with the plane's, and the card's bends:
// what is left beyond the noise tells how far that holds, and how much of a tag's
// own position to believe.
func (c *Found) judge(tags []tagFit) {
	var off, noise float64
	n := 0
	own := make([][4]Pixel, len(tags))
	for i, t := range tags {
		for k, s := range c.Layout.Corners(t.seat) {
			own[i][k] = c.Plane.ToImage(c.curve.flat(s))
			if t.own && len(t.sights) > 0 {
				dx, dy := t.corners[k].X-own[i][k].X, t.corners[k].Y-own[i][k].Y
				off += (dx*dx + dy*dy) / 2
				noise += t.sure * t.sure
				n++
			}
		}
	}
	share := 0.0
	if n > 0 {
		off, noise = off/float64(n), noise/float64(n)
		c.Residual = math.Sqrt(max(off-noise, 0))
		if off > 0 {
			share = max(0, 1-2*noise/off)
		}
	}
	for i, t := range tags {
		f := FoundTag{ID: t.id, Seat: t.seat, Corners: own[i], Blur: t.blur, Covered: !t.own || len(t.sights) > 0 && t.good < wholeSeen}
		for k := range f.Corners {
			switch {
			case !t.own:
			case len(t.sights) == 0 && (len(tags) == 1 || share > .5):
				f.Corners[k] = t.corners[k]
			case len(t.sights) > 0:
				f.Corners[k].X += share * (t.corners[k].X - own[i][k].X)
				f.Corners[k].Y += share * (t.corners[k].Y - own[i][k].Y)
			}
		}
		c.Tags = append(c.Tags, f)
	}
	slices.SortFunc(c.Tags, func(a, b FoundTag) int { return a.Seat - b.Seat })
}
