package paint

import "strings"

func contains(s, sub string) bool { return strings.Contains(s, sub) }

// ground is the place a find grows in: drawn from the find's seed, so that
// every view shows the same spot.
type ground struct {
	find    *Find
	seed    uint32
	kind    string // soil, litter, needles, grass, moss, chips, wood, bark
	wall    bool   // an upright trunk or the flank of a log
	soil    v3
	leafHue float32 // middle of the leaf palette, 0..1
	leafDev float32
	litter  float32 // leaves per 1000 mm2
	twigs   float32
	mossy   float32
	wet     float32
	green   v3 // grass or moss colour
	rough   float32
	bark    barkLook
	tokens  []token // things lying by the fruitbody that mark the spot
	keep    []area  // what the card and the specimen lie on
	bodyR   float32
	feet    []v3 // x, y and radius of the standing bodies
}

// token is a thing on the ground near the find.
type token struct {
	kind string
	at   v3 // mm from the fruitbody's base, on the ground
	rot  float32
	size float32
	hue  float32
}

var tokenKinds = []string{"berry", "pebble", "acorn", "cone", "shell", "feather", "ivy", "yellowleaf",
	"greenleaf", "redleaf", "twig", "mast", "quartz", "clover", "daisy", "fern", "barkbit", "oakleaf"}

func groundOf(f *Find) *ground {
	c := stream(f.Seed, "ground")
	g := &ground{find: f, seed: uint32(c.u64())}
	switch f.Substrate {
	case "grass":
		g.kind = "grass"
	case "dung":
		g.kind = "dung"
	case "moss":
		g.kind = "moss"
	case "chips":
		g.kind = "chips"
	case "stump", "dead_fallen", "dead_branch":
		g.kind = "wood"
	case "dead_standing", "living_tree", "bark":
		g.kind, g.wall = "bark", true
	case "litter_needle":
		g.kind = "needles"
	case "litter_leaf":
		g.kind = "litter"
	default:
		g.kind = "soil"
	}
	conifer := contains(f.Host, "Pinus") || contains(f.Host, "Picea")
	if conifer && (g.kind == "litter" || g.kind == "soil") {
		g.kind = "needles"
	}
	soils := []uint32{0x4a3a2b, 0x3a3029, 0x5e4a33, 0x6b5a45, 0x54412f, 0x4b4238, 0x6d4f38, 0x33291f}
	g.soil = rgb(soils[c.n(len(soils))]).mul(c.in(0.8, 1.2))
	g.leafHue, g.leafDev = c.f(), c.in(0.08, 0.3)
	g.litter = map[string]float32{"soil": c.in(0.25, 0.9), "litter": c.in(1.1, 1.9), "grass": c.in(0, 0.1),
		"moss": c.in(0, 0.15), "wood": c.in(0, 0.15), "needles": c.in(0, 0.08), "chips": c.in(0.0, 0.15)}[g.kind]
	g.twigs, g.mossy, g.wet, g.rough = c.f(), c.f(), c.f(), c.in(0.6, 1.4)
	greens := []uint32{0x5d7a2e, 0x6f8a3a, 0x4c6b33, 0x87924a, 0x7c8f2f, 0x3f6a3a, 0x9a9a58}
	g.green = rgb(greens[c.n(len(greens))]).mul(c.in(0.85, 1.15))
	g.bark = barkOf(f, c)
	g.bodyR = float32(orElse(f.WidthMM, 40)) / 2
	g.scatterTokens(c)
	return g
}

func (g *ground) scatterTokens(c *chance) {
	n := 3 + c.n(2)
	r := float32(orElse(g.find.WidthMM, 40)) * 0.5
	near := max(r*0.35, 10)
	scale := clamp(r/28, 0.45, 1)
	first := c.n(len(tokenKinds))
	a0 := c.in(0, 2*pi)
	for i := range n {
		k := tokenKinds[(first+i*(3+c.n(4)))%len(tokenKinds)]
		a := a0 + 2*pi*float32(i)/float32(n) + c.sym(0.5)
		d := r + near + c.in(4, 14) + 16*scale
		g.tokens = append(g.tokens, token{k, v3{d * cos(a), d * sin(a) * 0.9, 0}, c.in(0, 2*pi), scale * c.in(0.8, 1.25), c.f()})
	}
}

// height is the floor's relief at a place, mm.
func (g *ground) height(x, y float32) float32 {
	h := 14 * g.rough * (fbm(x*0.012, y*0.012, 3, g.seed) - 0.5)
	switch g.kind {
	case "soil", "litter":
		h += 4 * g.rough * (fbm(x*0.11, y*0.11, 3, g.seed+4) - 0.5)
	case "moss":
		d, _, _ := cells(x*0.035, y*0.035, g.seed+5)
		h += 6 * (0.6 - d)
	case "dung":
		d, _, _ := cells(x*0.022+0.3, y*0.022+0.3, g.seed+5)
		h += 14 * (0.6 - d*d)
		h -= 40 * smooth(60, 110, sqrt(x*x+y*y))
	}
	// The fruitbody's own spot is the zero level.
	h *= smooth(0.3*g.bodyR, g.bodyR+60, sqrt(x*x+y*y))
	return g.press(h, x, y)
}

// area is a rectangle in which the ground is pressed below a level.
type area struct{ x0, x1, y0, y1, level float32 }

// apart is the distance and direction of a place from the rectangle.
func (a area) apart(x, y float32) (d, dx, dy float32) {
	dx = x - clamp(x, a.x0, a.x1)
	dy = y - clamp(y, a.y0, a.y1)
	return sqrt(dx*dx + dy*dy), dx, dy
}

// press keeps the ground below whatever lies on it.
func (g *ground) press(h, x, y float32) float32 {
	for _, a := range g.keep {
		d, _, _ := a.apart(x, y)
		h = min(h, a.level-2+max(d-5, 0)*0.7)
	}
	return h
}

// nearest says whether a kept area is within reach, and the direction (an
// angle) leading away from it.
func (g *ground) nearest(x, y, reach float32) (out float32, near bool) {
	for _, a := range g.keep {
		if d, dx, dy := a.apart(x, y); d < reach {
			if d < 0.01 {
				dx, dy = x-(a.x0+a.x1)/2, y-(a.y0+a.y1)/2
			}
			return atan2(dy, dx), true
		}
	}
	for _, p := range g.feet {
		dx, dy := x-p.x, y-p.y
		if d := dx*dx + dy*dy; d < (reach+p.z)*(reach+p.z) && p.z > 0 {
			return atan2(dy, dx), true
		}
	}
	return 0, false
}

// taken says whether a place lies inside a kept area.
func (g *ground) taken(x, y float32) bool {
	for _, a := range g.keep {
		if x > a.x0-2 && x < a.x1+2 && y > a.y0-2 && y < a.y1+2 {
			return true
		}
	}
	return false
}

// colour is the bare ground's colour at a place.
func (g *ground) colour(x, y float32) v3 {
	n := fbm(x*0.06, y*0.06, 4, g.seed+6)
	m := noise(x*0.6, y*0.6, g.seed+7)
	c := g.soil.mul(0.55 + 0.7*n + 0.25*m)
	switch g.kind {
	case "grass":
		c = c.mix(g.green.mul(0.6), 0.7)
	case "moss":
		c = g.green.mul(0.35 + 0.4*n)
	case "needles":
		c = c.mix(rgb(0x7a5334).mul(0.6+0.6*m), 0.5)
	case "chips":
		c = c.mul(0.8)
	case "dung":
		w := 2 * noise(x*0.05, y*0.05, g.seed+10)
		straw := max(smooth(0.66, 0.74, noise(x*1.1+y*0.4*w, y*0.16-x*0.06*w, g.seed+9)), smooth(0.68, 0.76, noise(x*0.15+y*0.08, y*1.2-x*0.5*w, g.seed+11)))
		c = rgb(0x57462f).mul(0.5+0.6*n+0.2*m).mix(rgb(0xa8925c), 0.55*straw)
		c = c.mix(g.green.mul(0.4), smooth(80, 110, sqrt(x*x+y*y)))
	}
	if g.kind != "grass" && g.kind != "moss" && g.mossy > 0.6 {
		k := smooth(0.5, 0.7, fbm(x*0.015+40, y*0.015, 3, g.seed+8))
		c = c.mix(g.green.mul(0.4+0.4*m), k*0.8)
	}
	return c
}

// drawFloor draws the ground plane z = level as a net that is even on screen.
func (g *ground) drawFloor(f *frame, level float32, flat bool) {
	const step = 6
	nx, ny := Width/step+24, Height/step+24
	cam := &f.cam
	ms := f.start(matGround)
	ms.grid(nx, ny, false, func(u, v float32) (v3, v3) {
		sx := (u*float32(nx) - 12) * step
		sy := (v*float32(ny) - 12) * step
		d := cam.ray(sx, Height-sy)
		t := float32(60000)
		if d.z < -1e-4 {
			t = min((level-cam.pos.z)/d.z, t)
		}
		p := cam.pos.add(d.mul(t))
		if d.z >= -1e-4 || t >= 60000 { // beyond the horizon: keep on it
			h := v3{d.x, d.y, 0}.unit()
			p = v3{cam.pos.x, cam.pos.y, 0}.add(h.mul(60000))
			p.z = level
			return p, g.colour(p.x*0.01, p.y*0.01)
		}
		p.z = level
		fade := float32(1)
		if t > 6000 {
			fade = 6000 / t
		}
		if !flat {
			p.z += g.height(p.x, p.y) * fade
		}
		return p, g.colour(p.x, p.y)
	})
	f.draw(ms, identity, false)
}

// patch is the part of the floor to be strewn: the square about (0, 0) that
// the camera sees.
type patch struct{ x0, x1, y0, y1, level, mm float32 }

// visible finds the rectangle of the plane z = level inside the picture, no
// farther than reach from the origin.
func (f *frame) visible(level, reach, margin float32) patch {
	p := patch{1e9, -1e9, 1e9, -1e9, level, 0}
	for i := range 9 {
		for j := range 9 {
			d := f.cam.ray(float32(i)*Width/8, float32(j)*Height/8)
			if d.z > -0.02 {
				continue
			}
			w := f.cam.pos.add(d.mul((level - f.cam.pos.z) / d.z))
			p.x0, p.x1 = min(p.x0, w.x), max(p.x1, w.x)
			p.y0, p.y1 = min(p.y0, w.y), max(p.y1, w.y)
		}
	}
	p.x0, p.x1 = max(p.x0-margin, -reach), min(p.x1+margin, reach)
	p.y0, p.y1 = max(p.y0-margin, -reach), min(p.y1+margin, reach)
	return p
}

// strew calls fn for every hashed place in the patch at the given density
// (per mm2); the same places come out whatever the view.
func (g *ground) strew(f *frame, p patch, purpose string, density float32, limit int, fn func(c *chance, x, y, px float32)) {
	if density <= 0 {
		return
	}
	cell := clamp(1/sqrt(density), 2, 400)
	area := (p.x1 - p.x0) * (p.y1 - p.y0)
	keep := float32(1)
	if n := area * density; n > float32(limit) {
		keep = float32(limit) / n
	}
	salt := uint32(len(purpose)) * 131
	for i := range purpose {
		salt = salt*31 + uint32(purpose[i])
	}
	for j := ifloor(p.y0 / cell); j <= ifloor(p.y1/cell); j++ {
		for i := ifloor(p.x0 / cell); i <= ifloor(p.x1/cell); i++ {
			h := hash2(i, j, g.seed+salt)
			if keep < 1 && float32(h&0xffff)/65536 > keep {
				continue
			}
			c := &chance{uint64(h)<<20 + 12345}
			x, y := (float32(i)+c.f())*cell, (float32(j)+c.f())*cell
			w := v3{x, y, p.level}
			sx, sy, iz := f.cam.project(w)
			if iz <= 0 || sx < -260 || sx > Width+260 || sy < -260 || sy > Height+300 {
				continue
			}
			fn(c, x, y, f.cam.f*iz)
		}
	}
}
