package card

import (
	"cmp"
	"image"
	"math"
	"slices"
)

// Finder finds cards in photographs. It keeps its memory from one to the
// next; one Finder serves one goroutine. The zero Finder is ready.
type Finder struct {
	// Lens is what is known of the lens of the next photograph; the zero Focal: the
	// usual one of a phone. It matters where a card is bent.
	Lens Focal

	tiles    extremes
	mask     []uint8
	lines    []uint8 // between dark and light, by column of a row of tiles
	edge     []corner
	levels   []level
	base     []uint8 // greys of a photograph in colours, and of that at half its size
	second   []uint8
	half     []uint8
	buffers  [][]uint8
	doubled  []uint8
	cut      []uint8
	cracks   map[int][]crack
	seen     []seen
	mirrored []Pixel
	foreign  int
}

// Sighting is what a photograph shows of cards.
type Sighting struct {
	// Cards are those found, the one with the most tags first.
	Cards []Found
	// Loose are tags of the family that belong to no card that is known.
	Loose []FoundTag
	// Mirrored counts tags that can be read in a mirror alone, Foreign squares
	// that look like tags and bear no code of the family.
	Mirrored, Foreign int
}

const (
	smallest = 1_200_000 // pixels: smaller photographs are looked at doubled as well
	finest   = 2100      // pixels: longer levels are looked at only when need be
	coarsest = 420       // pixels: shorter levels show no tag worth having
)

// mostTags is how many tags are put together to cards, the largest of them:
// sixteen cards in one view. Grouping takes the cube of their number, so that a
// picture tiled with tags would else keep it busy for minutes.
const mostTags = 64

// Find finds the cards in an upright sRGB photograph.
func (f *Finder) Find(img *image.RGBA) Sighting { return f.FindBeside(img, f.Halved(img)) }

// Halved is a photograph Halved in the finder's memory: it stands until the next
// one is halved there.
func (f *Finder) Halved(img *image.RGBA) *image.RGBA {
	half := halvedInto(f.half, img)
	f.half = half.Pix
	return half
}

// FindBeside is Find for those who have the photograph Halved already.
func (f *Finder) FindBeside(img, half *image.RGBA) Sighting {
	f.levels = f.levels[:0]
	if img.Rect.Dx() >= leastPicture && img.Rect.Dy() >= leastPicture {
		base := colouredLevel(img, f.base)
		f.base, f.levels = base.pix, append(f.levels, base)
		if base.halves() {
			f.second = grown(f.second, half.Rect.Dx()*half.Rect.Dy())
			greyInto(f.second, half)
			f.build(level{pix: f.second, stride: half.Rect.Dx(), w: half.Rect.Dx(), h: half.Rect.Dy(), shift: 1})
		}
	}
	return f.find()
}

// FindGrey finds the cards in a grey photograph (sRGB-coded, the luma of a JPEG
// will do).
func (f *Finder) FindGrey(img *image.Gray) Sighting {
	f.levels = f.levels[:0]
	if b := img.Bounds(); b.Dx() >= leastPicture && b.Dy() >= leastPicture {
		f.build(whole(img))
	}
	return f.find()
}

// leastPicture is the shortest side of a picture in which anything is looked for,
// pixels.
const leastPicture = 16

// find finds the cards in the levels that were built.
func (f *Finder) find() Sighting {
	f.seen, f.mirrored, f.foreign = f.seen[:0], f.mirrored[:0], 0
	if len(f.levels) == 0 {
		return Sighting{}
	}
	base := f.levels[0]
	for i := len(f.levels) - 1; i >= 0; i-- {
		l := f.levels[i]
		if max(l.w, l.h) > finest {
			if f.mostSeats() > 1 {
				break // the rest is looked for where the card has it
			}
			if l, _ = l.part(0, 0, l.w, l.h, f.cut); l.pix != nil {
				f.cut = l.pix
			}
		}
		f.scan(&l, .58, anyTag)
		if n := f.mostSeats(); i <= 1 && n < 3 && (n > 0 || max(l.w, l.h) <= finest) {
			f.scan(&l, .66, anyTag)
			f.scan(&l, .47, anyTag)
		}
	}
	if base.w*base.h <= smallest && f.mostSeats() < 4 {
		// Small tags touch what is dark beside them: once more with less dark.
		f.scan(&base, .37, anyTag)
		l := base.double(f.doubled)
		f.doubled = l.pix
		f.scan(&l, .5, anyTag)
		f.scan(&l, .37, anyTag)
	}
	return f.settle(&base)
}

// build makes the levels from one on.
func (f *Finder) build(l level) {
	for i := 0; ; i++ {
		f.levels = append(f.levels, l)
		if !l.halves() {
			return
		}
		if len(f.buffers) <= i {
			f.buffers = append(f.buffers, nil)
		}
		l = l.halve(f.buffers[i])
		f.buffers[i] = l.pix
	}
}

// halves reports whether a level of half the size may show a tag.
func (l *level) halves() bool {
	return max(l.w, l.h)/2 >= coarsest && min(l.w, l.h)/2 >= leastPicture
}

// scan looks for tags in a level, dark being what lies below a part of the
// way from the darkest to the lightest near it, and for a tag that is wanted
// or any.
func (f *Finder) scan(l *level, part float32, want int) {
	l.need(0, 0, l.w, l.h)
	f.darken(l, part)
	f.outlines(l, func(area float64) {
		q, ok := f.quad(area)
		if !ok {
			return
		}
		s, what := l.read(q, want)
		switch what {
		case readTag:
			f.note(s)
		case readMirrored:
			f.mirrored = append(f.mirrored, s.corners[0])
		case readForeign:
			f.foreign++
		}
	})
}

// note keeps a tag; seen again in a finer level it replaces the first.
func (f *Finder) note(s seen) {
	m := middle(s.corners)
	for i, o := range f.seen {
		om := middle(o.corners)
		if math.Hypot(m.X-om.X, m.Y-om.Y) < .5*max(s.side, o.side) {
			if o.id == s.id || s.distance <= o.distance {
				f.seen[i] = s
			}
			return
		}
	}
	f.seen = append(f.seen, s)
}

func middle(q [4]Pixel) Pixel {
	return Pixel{(q[0].X + q[1].X + q[2].X + q[3].X) / 4, (q[0].Y + q[1].Y + q[2].Y + q[3].Y) / 4}
}

// mostSeats is how many seats of one kind of card were seen.
func (f *Finder) mostSeats() int {
	most := 0
	for _, l := range Layouts() {
		var seats [4]bool
		n := 0
		for _, o := range f.seen {
			if k, seat := seatOf(o.id); k == l && !seats[seat] {
				seats[seat] = true
				n++
			}
		}
		most = max(most, n)
	}
	return most
}

// settle refines the tags seen and puts them together to cards.
func (f *Finder) settle(base *level) Sighting {
	out := Sighting{Mirrored: len(f.mirrored), Foreign: f.foreign}
	if len(f.seen) > mostTags {
		slices.SortStableFunc(f.seen, func(a, b seen) int { return cmp.Compare(b.side, a.side) })
		f.seen = f.seen[:mostTags]
	}
	var tags []tagFit
	for _, s := range f.seen {
		t, ok := f.refine(base, s.id, s.corners)
		if !ok || far(t.corners, s.corners) > .6*s.side/blackCells+1.5 {
			t = tagFit{id: s.id, corners: s.corners, sure: .02 * s.side, own: true}
			t.sq, _ = squareOf(s.corners)
		}
		l, seat := seatOf(s.id)
		if t.seat = seat; l == nil {
			out.Loose = append(out.Loose, FoundTag{ID: t.id, Corners: t.corners, Blur: t.blur})
			continue
		}
		tags = append(tags, t)
	}
	for len(tags) > 0 {
		group, rest := bestGroup(tags, base)
		if found, ok := f.assemble(base, group); ok {
			out.Cards = append(out.Cards, found)
		} else {
			for _, t := range group {
				out.Loose = append(out.Loose, FoundTag{ID: t.id, Corners: t.corners, Blur: t.blur})
			}
		}
		tags = rest
	}
	slices.SortStableFunc(out.Cards, func(a, b Found) int { return len(b.Tags) - len(a.Tags) })
	return out
}

// far is the greatest distance between the corners of two squares.
func far(a, b [4]Pixel) float64 {
	d := 0.0
	for i := range a {
		d = max(d, math.Hypot(a[i].X-b[i].X, a[i].Y-b[i].Y))
	}
	return d
}

// bestGroup takes the largest set of tags that lie as one card's do.
func bestGroup(tags []tagFit, base *level) (group, rest []tagFit) {
	var best []int
	for i := range tags {
		if g := groupFrom(tags, i, base); len(g) > len(best) {
			best = g
		}
	}
	for i, t := range tags {
		if slices.Contains(best, i) {
			group = append(group, t)
		} else {
			rest = append(rest, t)
		}
	}
	return group, rest
}

// groupFrom collects the tags that lie where the plane of one tag, and then
// of those collected, has them.
func groupFrom(tags []tagFit, seed int, base *level) []int {
	l, _ := seatOf(tags[seed].id)
	g := []int{seed}
	var quads [2]int // of even and odd seats, + 1
	quads[tags[seed].seat&1] = tags[seed].id/4 + 1
	var taken [4]bool
	taken[tags[seed].seat] = true
	for {
		plane, ok := cornersPlane(l, base, tags, g)
		if !ok {
			return g
		}
		best, at := math.Inf(1), -1
		for i, t := range tags {
			if k, _ := seatOf(t.id); k != l || taken[t.seat] || quads[t.seat&1] != 0 && quads[t.seat&1] != t.id/4+1 {
				continue
			}
			size := side(t.corners)
			worst := 0.0
			for j, c := range l.Corners(t.seat) {
				p := plane.ToImage(c)
				d := math.Hypot(p.X-t.corners[j].X, p.Y-t.corners[j].Y) / size
				if !(d <= worst) {
					worst = d
				}
			}
			if worst < best {
				best, at = worst, i
			}
		}
		// One small tag shows where the others lie only roughly.
		if at < 0 || best > []float64{0, 1.2, .6, .5}[len(g)] {
			return g
		}
		g = append(g, at)
		taken[tags[at].seat] = true
		quads[tags[at].seat&1] = tags[at].id/4 + 1
		if len(g) == 4 {
			return g
		}
	}
}

func cornersPlane(l *Layout, base *level, tags []tagFit, which []int) (Plane, bool) {
	var spots []Spot
	var pixels []Pixel
	for _, i := range which {
		c := l.Corners(tags[i].seat)
		spots, pixels = append(spots, c[:]...), append(pixels, tags[i].corners[:]...)
	}
	p, err := FitPlane(l, base.w, base.h, spots, pixels)
	return p, err == nil
}
