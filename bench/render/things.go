package render

import (
	"math"
	"math/rand/v2"

	"trug/science/card"
)

type rgb [3]float32

func (a rgb) mul(k float32) rgb { return rgb{a[0] * k, a[1] * k, a[2] * k} }
func (a rgb) add(b rgb) rgb     { return rgb{a[0] + b[0], a[1] + b[1], a[2] + b[2]} }
func (a rgb) mix(b rgb, t float32) rgb {
	return rgb{a[0] + (b[0]-a[0])*t, a[1] + (b[1]-a[1])*t, a[2] + (b[2]-a[2])*t}
}

func linear(v uint8) float32 {
	x := float64(v) / 255
	if x <= .04045 {
		return float32(x / 12.92)
	}
	return float32(math.Pow((x+.055)/1.055, 2.4))
}

func fromHex(h uint32) rgb {
	return rgb{linear(uint8(h >> 16)), linear(uint8(h >> 8)), linear(uint8(h))}
}

const paperWhite, inkBlack = .86, .035

var white, black = rgb{paperWhite, paperWhite, paperWhite * .97}, rgb{inkBlack, inkBlack, inkBlack}

// ink is the card's colour at nominal millimetres.
func (c *sheet) ink(x, y float64) rgb {
	for i, t := range c.l.Tags {
		cell := float64(t.Black.W) / 8
		cx, cy := (x-float64(t.Black.X))/cell+1, (y-float64(t.Black.Y))/cell+1
		if cx >= 0 && cy >= 0 && cx < 10 && cy < 10 {
			if c.cells[i][int(cy)][int(cx)] {
				return white
			}
			return black
		}
	}
	for _, p := range c.l.Patches {
		if inside(p.Box, x, y) {
			v := rgb{linear(p.SRGB[0]), linear(p.SRGB[1]), linear(p.SRGB[2])}
			return rgb{inkBlack, inkBlack, inkBlack}.add(v.mul(paperWhite - inkBlack))
		}
	}
	for _, d := range c.l.Dots {
		if math.Hypot(x-float64(d.At.X), y-float64(d.At.Y)) < float64(d.Radius) {
			return black
		}
	}
	for _, r := range c.l.Rulers {
		if onTick(r, x, y) {
			return black
		}
	}
	if q := c.l.Square; inside(q, x, y) { // modules that say nothing
		m := float64(q.W) / 33
		i, j := int((x-float64(q.X))/m), int((y-float64(q.Y))/m)
		if i >= 2 && j >= 2 && i < 31 && j < 31 && hash(uint64(i*64+j)+c.squareID*977)&1 == 1 {
			return black
		}
	}
	if q := c.l.Words; inside(q, x, y) { // lines of words
		row := math.Mod(y-float64(q.Y), 3.2)
		if row > 1 && row < 2.3 && hash(uint64(int((x-float64(q.X))/.45)*131+int((y-float64(q.Y))/3.2)*7+int(row*3)))%3 == 0 {
			return black
		}
	}
	return white
}

func inside(b card.Box, x, y float64) bool {
	return x >= float64(b.X) && y >= float64(b.Y) && x < float64(b.X+b.W) && y < float64(b.Y+b.H)
}

func onTick(r card.Ruler, x, y float64) bool {
	dx, dy := float64(r.To.X-r.From.X), float64(r.To.Y-r.From.Y)
	n := math.Hypot(dx, dy)
	a := ((x-float64(r.From.X))*dx + (y-float64(r.From.Y))*dy) / n
	b := (x-float64(r.From.X))*float64(r.Inward[0]) + (y-float64(r.From.Y))*float64(r.Inward[1])
	k := math.Round(a)
	if b < 0 || k < 0 || k > n || math.Abs(a-k) > .12 {
		return false
	}
	long := r.Short
	if int(k)%10 == 0 {
		long = r.Ten
	} else if int(k)%5 == 0 {
		long = r.Five
	}
	return b < float64(long)
}

// hash mixes 64 bits (the finaliser of splitmix64).
func hash(x uint64) uint64 {
	x += 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return x ^ x>>31
}

func part(h uint64, k int) float64 { return float64(h>>(k*10)&1023) / 1023 }

// noise is smooth value noise in 0..1 over cells of size 1.
func noise(seed uint64, x, y float64) float64 {
	fx, fy := math.Floor(x), math.Floor(y)
	i, j := uint64(int64(fx)), uint64(int64(fy))
	x, y = x-fx, y-fy
	x, y = x*x*(3-2*x), y*y*(3-2*y)
	v := func(a, b uint64) float64 {
		return float64(hash(seed+(i+a)*0x1f123bb5+(j+b)*0x5bd1e995)>>40) / (1 << 24)
	}
	a, b, c, d := v(0, 0), v(1, 0), v(0, 1), v(1, 1)
	return (a+(b-a)*x)*(1-y) + (c+(d-c)*x)*y
}

var leafTones = []uint32{0x6b4423, 0x8a5a2b, 0x4a2f1b, 0x7c6a3a, 0x3e5a22, 0xa8743a, 0x5b3a2a, 0x927a55, 0x2e2418, 0x6f7f35, 0xb09060, 0x813c2c}

// leaf lies on the ground.
type leaf struct {
	h              uint64 // its number; the greatest lies on top
	x, y, sin, cos float64
	long, short    float64 // half axes
}

// leaves are a floor of leaves, one in each cell of a jittered grid; they are
// kept once they were drawn from the seed.
type leaves struct {
	seed uint64
	kept [1 << 12]leaf
	at   [1 << 12][2]int64
	used [1 << 12]bool
}

const leafPitch = 24

func (l *leaves) leaf(i, j int64) *leaf {
	slot := uint64(i)&63 | uint64(j)&63<<6
	if l.used[slot] && l.at[slot] == [2]int64{i, j} {
		return &l.kept[slot]
	}
	h := hash(l.seed + uint64(i)*0x632be59b + uint64(j)*0x85157af5)
	f := leaf{h: h, x: (float64(i) + .5 + (part(h, 0)-.5)*.9) * leafPitch, y: (float64(j) + .5 + (part(h, 1)-.5)*.9) * leafPitch,
		long: 14 + 12*part(h, 3), short: 6 + 7*part(h, 4)}
	f.sin, f.cos = math.Sincos(part(h, 2) * math.Pi)
	l.kept[slot], l.at[slot], l.used[slot] = f, [2]int64{i, j}, true
	return &l.kept[slot]
}

// ground is the floor's colour, and which leaf is seen there.
func (l *leaves) ground(x, y float64) (rgb, uint64) {
	gx, gy := int64(math.Floor(x/leafPitch)), int64(math.Floor(y/leafPitch))
	best, top, edge, along := uint64(0), uint64(0), 0.0, 0.0
	for j := gy - 1; j <= gy+1; j++ {
		for i := gx - 1; i <= gx+1; i++ {
			f := l.leaf(i, j)
			if f.h <= top {
				continue
			}
			dx, dy := x-f.x, y-f.y
			u, v := (dx*f.cos+dy*f.sin)/f.long, (dy*f.cos-dx*f.sin)/f.short
			if d := u*u + v*v; d < 1 {
				best, top, edge, along = f.h, f.h, d, v
			}
		}
	}
	n := float32(.75 + .5*noise(l.seed+7, x*1.3, y*1.3) - .25*noise(l.seed+9, x*.09, y*.09))
	if best == 0 {
		return fromHexTone(8).mul(n), 0
	}
	c := fromHexTone(int(best>>8) % len(leafTones)).mul(n * float32(.7+.5*part(best, 5)))
	if edge > .93 || math.Abs(along) < .05 {
		c = c.mul(.45)
	}
	return c, best
}

var tones = func() (t []rgb) {
	for _, h := range leafTones {
		t = append(t, fromHex(h))
	}
	return t
}()

func fromHexTone(i int) rgb { return tones[i] }

// blob is a flat outline in the world: a cap's rim, or a leaf.
type blob struct {
	x, y, z, r float64 // middle, height, mean radius
	amp, phase [6]float64
	most       float64
	colour     rgb
	margin     rgb
	dome       float64
	seed       uint64
}

func (b *blob) radius(theta float64) float64 {
	k := 1.0
	for n := 2; n < 6; n++ {
		k += b.amp[n] * math.Cos(float64(n)*theta+b.phase[n])
	}
	return b.r * k
}

// outline is the rim as points of the world.
func (b *blob) outline(n int) [][2]float64 {
	out := make([][2]float64, n)
	for i := range out {
		t := 2 * math.Pi * float64(i) / float64(n)
		sin, cos := math.Sincos(t)
		out[i] = [2]float64{b.x + b.radius(t)*cos, b.y + b.radius(t)*sin}
	}
	return out
}

// holds reports whether a point at the blob's height is on it, and how far
// out, 0 the middle, 1 the rim.
func (b *blob) holds(x, y float64) (float64, bool) {
	x, y = x-b.x, y-b.y
	d := x*x + y*y
	if d > b.most*b.most {
		return 0, false
	}
	r := b.radius(math.Atan2(y, x))
	return math.Sqrt(d) / r, d < r*r
}

var capTones = []uint32{0xc8a878, 0x8a5a32, 0xe8dcc0, 0xb8352a, 0xd8902f, 0x5a4636, 0x9a8878, 0x7a6a3a, 0xd8a090, 0x8a7a9a, 0xa87848, 0xf0ece0, 0xe0c040}

func newBlob(r *rand.Rand, radius float64) *blob {
	b := &blob{r: radius, seed: r.Uint64(), dome: .2 + .6*r.Float64()}
	for n := 2; n < 6; n++ {
		b.amp[n], b.phase[n] = (r.Float64()-.5)*.22/float64(n-1), 2*math.Pi*r.Float64()
		b.most += math.Abs(b.amp[n])
	}
	b.most = (1 + b.most) * radius
	b.colour = fromHex(capTones[r.IntN(len(capTones))]).mul(float32(.75 + .35*r.Float64()))
	b.margin = b.colour.mul(float32(.7 + .6*r.Float64()))
	return b
}

// paint is a cap's colour at a part of its radius, lit from the side.
func (b *blob) paint(x, y, part float64, lx, ly float64) rgb {
	dx, dy := (x-b.x)/b.r, (y-b.y)/b.r
	c := b.colour.mix(b.margin, float32(smooth(.45, 1, part)))
	n := noise(b.seed, x*.8, y*.8)
	fibre := noise(b.seed+3, 14*math.Atan2(dy, dx), part*2)
	lit := 1 + .45*b.dome*(dx*lx+dy*ly)*part - .12*part*part
	return c.mul(float32(lit * (.85 + .2*n + .1*fibre)))
}
